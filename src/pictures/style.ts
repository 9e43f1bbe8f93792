import type { Direction } from '../traverse/index.js'

export const PAPER = '#ffffff'
export const INK = '#1c1c1c'
/** For what explains; contrast 7:1 on the paper. */
export const QUIET_INK = '#595959'
export const GRID_INK = '#d9d9d9'
/** Size of the text of a picture, px (judgement: readable on paper at half a page's width). */
export const TEXT_SIZE = 13

/** How a direction is drawn. Line pattern and shape tell the two apart without colour. */
export interface DirectionStyle {
  readonly ink: string
  readonly dashes: string | undefined
  readonly shape: 'disc' | 'diamond'
  readonly words: string
  /** Sideways, px, so that the runs of both directions at one dial stand beside each other. */
  readonly aside: number
}

/** Both inks have a contrast above 7:1 on the paper, and differ in lightness when printed grey. */
const STYLES: Readonly<Record<Direction, DirectionStyle>> = {
  1: { ink: '#123f66', dashes: undefined, shape: 'disc', words: 'solid line, discs', aside: -5 },
  [-1]: { ink: '#7d3c00', dashes: '7 4', shape: 'diamond', words: 'dashed line, diamonds', aside: 5 },
}

export function directionStyle(direction: Direction): DirectionStyle {
  return STYLES[direction]
}
