import type { Axis } from '../../../store/index.js'
import { type Direction, directionWord, printedSign } from '../../../units/index.js'

/** A direction as it is shown: its sign, and the user's own word for it where there is one. @example `+ left` */
export function wayShown(axis: Pick<Axis, 'ways'>, direction: Direction): string {
  const word = ownWord(axis, direction)
  return word === null ? printedSign(direction) : `${printedSign(direction)}\u00a0${word}`
}

/** A direction for who listens. @example `plus, left` */
export function waySpoken(axis: Pick<Axis, 'ways'>, direction: Direction): string {
  const word = ownWord(axis, direction)
  return word === null ? directionWord(direction) : `${directionWord(direction)}, ${word}`
}

/** The user's own word for a direction, or null. */
export function ownWord({ ways }: Pick<Axis, 'ways'>, direction: Direction): string | null {
  return ways === null ? null : direction === 1 ? ways.plus : ways.minus
}
