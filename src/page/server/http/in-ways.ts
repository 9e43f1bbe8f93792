import type { DirectionWays } from '../../../store/index.js'
import { printedSign } from '../../../units/index.js'

/** A direction as sentences name it, where nobody has named the way yet. */
const NAMED = /\b(direction) ([+\-−])(?! \(|[\w+])/gi

/** The hyphen of a direction, behind that word or behind a dial setting. */
const HYPHEN = /\b(direction|dial [\d.]+) -(?![\w+]| \d)/gi

/**
 * A sentence as the page shows it: each direction with its printed sign, and the user's own word behind it.
 *
 * @example sentenceInWays('Direction - is not covered.', { plus: 'left', minus: 'right' }) // 'Direction − (right) is not covered.'
 */
function sentenceInWays(sentence: string, ways: DirectionWays | null): string {
  const printed = sentence.replace(HYPHEN, (_, before: string) => `${before} ${printedSign(-1)}`)
  if (ways === null) return printed
  return printed.replace(
    NAMED,
    (_, word: string, sign: string) => `${word} ${sign} (${sign === '+' ? ways.plus : ways.minus})`,
  )
}

/** The same in every sentence of an answer as it becomes JSON: a replacer for `JSON.stringify`. */
export function inWays(ways: DirectionWays | null): (name: string, value: unknown) => unknown {
  return (_, value) => (typeof value === 'string' ? sentenceInWays(value, ways) : value)
}
