import type { DirectionWays } from '../../../store/index.js'

/** A direction as sentences name it, where nobody has named the way yet. */
const NAMED = /\b(direction) ([+\-−])(?! \(|[\w+])/gi

/**
 * A sentence with the user's own word behind each direction.
 *
 * @example sentenceInWays('Direction - is not covered.', { plus: 'left', minus: 'right' }) // 'Direction - (right) is not covered.'
 */
function sentenceInWays(sentence: string, ways: DirectionWays): string {
  return sentence.replace(
    NAMED,
    (_, word: string, sign: string) => `${word} ${sign} (${sign === '+' ? ways.plus : ways.minus})`,
  )
}

/** The same in every sentence of an answer. */
export function inWays<T>(answer: T, ways: DirectionWays | null): T {
  if (ways === null) return answer
  return put(answer, ways) as T
}

function put(value: unknown, ways: DirectionWays): unknown {
  if (typeof value === 'string') return sentenceInWays(value, ways)
  if (Array.isArray(value)) return typeof value[0] === 'number' ? value : value.map((one) => put(one, ways))
  if (typeof value !== 'object' || value === null || 'toJSON' in value) return value
  return Object.fromEntries(Object.entries(value).map(([name, one]) => [name, put(one, ways)]))
}
