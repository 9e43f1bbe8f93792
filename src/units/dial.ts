import { UsageError } from '../errors/index.js'
import { listParts, parseNumber } from './number.js'

/**
 * A dial setting as people write it: a number, a percentage of a dial that goes to 100 %, or `rapid` for the rapid
 * traverse.
 *
 * @throws UsageError `bad-number`; letters and the two ranges of one dial get a sentence that says how to enter them
 */
export function parseDialSetting(text: string, what: string): number | 'rapid' {
  const plain = text.trim()
  if (plain.toLowerCase() === 'rapid') return 'rapid'
  refuseLetters(plain, what)
  return parseNumber(plain.replace(/(?<=\d)\s*%$/, ''), what)
}

/**
 * The lowest and the highest of a range, `0..10`.
 *
 * @throws UsageError `bad-range`, `bad-number`
 */
export function parseRange(text: string, what: string): { min: number; max: number } {
  const parts = text.split(/\.\.\.?|…/).map((part) => part.trim())
  const [low, high] = parts
  if (low === undefined || high === undefined || parts.length !== 2 || low === '' || high === '') {
    throw new UsageError(
      'bad-range',
      `${what}: "${text}" is not a range.`,
      'Write the lowest and the highest number with two points between them: 0..10.',
    )
  }
  for (const part of parts) refuseLetters(part, what)
  return { min: parseNumber(low, what), max: parseNumber(high, what) }
}

/**
 * The marks of a dial, separated by commas.
 *
 * @throws UsageError `bad-number`
 */
export function parseMarks(text: string, what: string): number[] {
  return listParts(text, what).map((part) => {
    refuseLetters(part, what)
    return parseNumber(part, what)
  })
}

/** One letter, as some dials and gear levers carry them. */
const LETTER = /^[a-z]$/i
/** A range and a number of one dial: `LO 4`, `3 high`. */
const GEARED = /^(?:(?:lo|low|hi|high)\s*[\d.,/½]*|[\d.,/½]+\s*(?:lo|low|hi|high))$/i

/** Refuses letters where a number of the dial belongs, and says how such a dial is entered. */
function refuseLetters(plain: string, what: string): void {
  if (LETTER.test(plain)) {
    throw new UsageError(
      'bad-number',
      `${what}: "${plain}" is a letter, and a dial is kept by numbers.`,
      'Number the letters in their order, A = 1, B = 2, C = 3, and write the numbers beside them on the machine.',
    )
  }
  if (GEARED.test(plain)) {
    throw new UsageError(
      'bad-number',
      `${what}: "${plain}" is not a number.`,
      'A LO and a HI range of one dial have a table each: add an axis for each, such as X-LO and X-HI.',
    )
  }
}
