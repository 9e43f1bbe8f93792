/** Which way the table travels: 1 where the position grows, -1 where it falls. */
export type Direction = 1 | -1

/** A direction as people and files write it. @example directionSign(-1) // '-' */
export function directionSign(direction: Direction): '+' | '-' {
  return direction === 1 ? '+' : '-'
}
