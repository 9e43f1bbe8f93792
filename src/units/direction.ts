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
