import { UsageError } from '../errors/index.js'
import { type DialRange, withoutRange } from './dial-ranges.js'
import { listParts, parseNumber } from './number.js'

/**
 * How the settings of a dial are written: as numbers, or as letters. A letter is kept as its place in the alphabet,
 * A = 1, so that the fit, the tables and the store hold numbers. An axis says it, and so does its table.
 */
export interface DialWriting {
  /** True where the dial carries letters; left out where it carries numbers. */
  readonly lettered?: boolean | undefined
}

/** A dial that may be one range of several. */
export interface DialInRange extends DialWriting {
  /** Its name may stand beside a setting, as in `HI 4`. */
  readonly range?: DialRange | undefined
}

/** The writing of a dial that carries numbers. */
export const NUMBERED: DialWriting = {}

/** How the dial of an axis is written, without the rest of the axis; nothing where it carries numbers. */
export function writingOf({ lettered }: DialWriting): DialWriting {
  return lettered ? { lettered } : NUMBERED
}

/** How many letters there are. */
const LETTERS = 26

/** Whether a setting has a letter. */
export function hasLetter(dial: number): boolean {
  return Number.isInteger(dial) && dial >= 1 && dial <= LETTERS
}

/** A dial setting as one reads it off the knob: its letter, or a number with up to two decimals, none that are zero. */
export function formatDial(dial: number | 'rapid', writing: DialWriting): string {
  return writeDial(dial === 'rapid' ? dial : Math.round(dial * 100) / 100, writing)
}

/** A dial setting as it was entered: its letter, or the number with all its decimals. */
export function writeDial(dial: number | 'rapid', { lettered }: DialWriting): string {
  return lettered && dial !== 'rapid' && hasLetter(dial)
    ? String.fromCharCode('A'.charCodeAt(0) + dial - 1)
    : String(dial)
}

/**
 * A dial setting as people write it: a number, a percentage of a dial that goes to 100 %, a letter of a dial that
 * carries letters, or `rapid` for the rapid traverse; in a range of a dial also with the name of that range.
 *
 * @throws UsageError `bad-number` for a letter on a dial of numbers, a number on a dial of letters, and a range of a
 *   dial beside its number, each with how such a setting is entered
 */
export function parseDialSetting(text: string, what: string, writing: DialInRange): number | 'rapid' {
  const { range, lettered } = writing
  const plain = withoutRange(text, range)
  if (plain.toLowerCase() === 'rapid') return 'rapid'
  if (lettered) return parseLetter(plain, what)
  refuseLetters(plain, what, range)
  return parseNumber(plain.replace(/(?<=\d)\s*%$/, ''), what)
}

/**
 * A setting that cannot be the rapid traverse, as people write it.
 *
 * @throws UsageError `bad-number` as `parseDialSetting`
 */
export function parseDialNumber(text: string, what: string, writing: DialInRange): number {
  const dial = parseDialSetting(text, what, writing)
  if (dial !== 'rapid') return dial
  throw new UsageError(
    'bad-number',
    `${what}: the rapid traverse is not a setting of the dial.`,
    `Give a ${writing.lettered ? 'letter' : 'number'} of the dial.`,
  )
}

/** The lowest and the highest setting of a dial, and how they are written. */
interface DialEnds extends DialWriting {
  readonly min: number
  readonly max: number
}

/**
 * The lowest and the highest setting of a dial, `0..10` or `A..H`.
 *
 * @throws UsageError `bad-range`, `bad-number`
 */
export function parseRange(text: string, what: string): DialEnds {
  const parts = text.split(/\.\.\.?|…/).map((part) => part.trim())
  const [low, high] = parts
  if (low === undefined || high === undefined || parts.length !== 2 || low === '' || high === '') {
    throw new UsageError(
      'bad-range',
      `${what}: "${text}" is not a range.`,
      'Write the lowest and the highest setting with two points between them: 0..10, or A..H.',
    )
  }
  return parseEnds(low, high, what, what)
}

/**
 * The lowest and the highest setting, each by itself: both numbers, or both letters.
 *
 * @throws UsageError `bad-range`, `bad-number`
 */
export function parseEnds(low: string, high: string, whatLow: string, whatHigh: string): DialEnds {
  const [lettered, numbered] = [isLetter(low) && isLetter(high), !isLetter(low) && !isLetter(high)]
  if (lettered) return { min: parseLetter(low, whatLow), max: parseLetter(high, whatHigh), lettered }
  if (!numbered) {
    throw new UsageError(
      'bad-range',
      `${whatHigh}: a dial cannot go from ${low.trim()} to ${high.trim()}.`,
      'Give two numbers, or two letters.',
    )
  }
  refuseLetters(low, whatLow)
  refuseLetters(high, whatHigh)
  return { min: parseNumber(low, whatLow), max: parseNumber(high, whatHigh) }
}

/**
 * The marks of a dial, separated by commas; letters may also stand apart by blanks alone.
 *
 * @throws UsageError `bad-number`
 */
export function parseMarks(text: string, what: string, writing: DialInRange): number[] {
  if (writing.lettered) {
    return text
      .trim()
      .split(/[\s,]+/)
      .map((part) => parseLetter(part, what))
  }
  return listParts(text, what).map((part) => {
    const plain = withoutRange(part, writing.range)
    refuseLetters(plain, what, writing.range)
    return parseNumber(plain, what)
  })
}

/** Every letter from one to another, as the marks of a dial for which none were named. */
export function lettersBetween(min: number, max: number): number[] {
  return Array.from({ length: Math.max(0, max - min + 1) }, (_, index) => min + index)
}

/** What is known of a dial from its ends and its marks. */
interface EnteredDial extends DialWriting {
  readonly dialMin: number
  readonly dialMax: number
  readonly marks: readonly number[]
  readonly stepped: boolean
}

/**
 * A dial as it was entered: one that carries letters has nothing between them, and every letter is a mark where none
 * were named.
 *
 * @param marks as they were typed; null where none were
 * @param stepped whether a dial of numbers has only its marks
 * @throws UsageError as `parseMarks`
 */
export function enteredDial(
  ends: DialEnds,
  marks: string | null,
  what: string,
  stepped: boolean,
): EnteredDial {
  const { min, max, lettered = false } = ends
  const every = lettered ? lettersBetween(min, max) : []
  return {
    dialMin: min,
    dialMax: max,
    marks: marks === null ? every : parseMarks(marks, what, ends),
    stepped: stepped || lettered,
    lettered,
  }
}

/** One letter, as some dials and gear levers carry them. */
const LETTER = /^[a-z]$/i
/** A range and a number of one dial: `LO 4`, `3 high`. */
const GEARED = /^(?:(?:lo|low|hi|high)\s*[\d.,/½]*|[\d.,/½]+\s*(?:lo|low|hi|high))$/i

function isLetter(text: string): boolean {
  return LETTER.test(text.trim())
}

function parseLetter(text: string, what: string): number {
  const plain = text.trim()
  if (isLetter(plain)) return plain.toUpperCase().charCodeAt(0) - 'A'.charCodeAt(0) + 1
  throw new UsageError(
    'bad-number',
    `${what}: "${plain}" is not a letter, and this dial carries letters.`,
    'Give the letter that stands on the dial, such as C.',
  )
}

/** Refuses letters where a number of the dial belongs, and says how such a dial is entered. */
function refuseLetters(plain: string, what: string, range?: DialRange): void {
  if (isLetter(plain)) {
    throw new UsageError(
      'bad-number',
      `${what}: "${plain.trim()}" is a letter, and this dial carries numbers.`,
      'Give the number that stands on the dial. Where it carries letters, enter the axis with the first and the last of them, such as A..H.',
    )
  }
  if (GEARED.test(plain)) {
    throw new UsageError(
      'bad-number',
      `${what}: "${plain}" is not a number.`,
      range
        ? `This axis is the range ${range.name} of ${range.of}; choose the axis of the range you mean.`
        : 'Where the dial has several ranges, enter the axis with their names, such as LO and HI; each has tables of its own.',
    )
  }
}

/**
 * A document that numbers the settings of a dial, with the letter beside each where the dial carries letters:
 * `{"dial":3,"label":"C"}`, also where the number is `{"dial":{"value":3,"label":"C"}}`.
 */
export function labelled<T>(document: T, writing: DialWriting): T
export function labelled(document: unknown, writing: DialWriting): unknown {
  if (!writing.lettered || typeof document !== 'object' || document === null) return document
  if (Array.isArray(document)) return document.map((one) => labelled<unknown>(one, writing))
  if ('toJSON' in document) return document
  const entries = Object.entries(document).map(([name, value]) => [name, labelled<unknown>(value, writing)])
  const told: Record<string, unknown> = Object.fromEntries(entries)
  const { dial } = told
  if (typeof dial === 'number') return { ...told, label: writeDial(dial, writing) }
  if (isValue(dial)) return { ...told, dial: { ...dial, label: writeDial(dial.value, writing) } }
  return told
}

function isValue(dial: unknown): dial is { readonly value: number } {
  return typeof dial === 'object' && dial !== null && 'value' in dial && typeof dial.value === 'number'
}
