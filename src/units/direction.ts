import { UsageError } from '../errors/index.js'

/** Which way the table travels: 1 where the position grows, -1 where it falls. */
export type Direction = 1 | -1

/** A direction as people type it and files hold it. @example directionSign(-1) // '-' */
export function directionSign(direction: Direction): '+' | '-' {
  return direction === 1 ? '+' : '-'
}

/** A direction as it is printed and shown, with the minus sign that is as wide as the plus. @example printedSign(-1) // '−' */
export function printedSign(direction: Direction): '+' | '−' {
  return direction === 1 ? '+' : '−'
}

/**
 * A direction as a word: for who listens, and for cells, since a spreadsheet takes a sign for the beginning of a formula.
 *
 * @example directionWord(-1) // 'minus'
 */
export function directionWord(direction: Direction | '+' | '-'): 'plus' | 'minus' {
  return direction === 1 || direction === '+' ? 'plus' : 'minus'
}

/**
 * A direction as people write it: `+` or `-`, the words for them, the typographic minus, and a sign behind the
 * apostrophe that keeps a spreadsheet from taking it for a formula.
 *
 * @throws UsageError `bad-direction`
 */
export function parseDirection(text: string, what: string): Direction {
  const plain = text.trim().replace(/^'/, '').toLowerCase()
  if (plain === '+' || plain === '+1' || plain === 'plus') return 1
  if (/^(?:[-−–]1?|minus)$/.test(plain)) return -1
  throw new UsageError(
    'bad-direction',
    `${what}: "${text}" is not a direction.`,
    /^(?:l|r|left|right|in|out|up|down)$/.test(plain)
      ? 'Write + for the way in which the numbers of the readout grow, and - for the way back. With a stopwatch choose one way as + and keep to it.'
      : 'Write + where the numbers of the readout grow and - where they fall.',
  )
}
