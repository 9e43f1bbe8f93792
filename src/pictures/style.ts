import type { Direction } from '../traverse/index.js'

export const PAPER = '#ffffff'
export const INK = '#1c1c1c'
/** For what explains; contrast 7:1 on the paper. */
export const QUIET_INK = '#595959'
export const GRID_INK = '#d9d9d9'

/** What a drawing is drawn with: colours of a paper, or those that a page names for its own light and dark. */
export interface Inks {
  readonly paper: string
  readonly ink: string
  readonly quiet: string
  readonly grid: string
  readonly directions: Readonly<Record<Direction, string>>
}

/** As on paper. Both directions have a contrast above 7:1 on it, and differ in lightness when printed grey. */
export const PRINTED: Inks = {
  paper: PAPER,
  ink: INK,
  quiet: QUIET_INK,
  grid: GRID_INK,
  directions: { 1: '#123f66', [-1]: '#7d3c00' },
}

/** Size of the text of a picture, px (judgement: readable on paper at half a page's width). */
export const TEXT_SIZE = 13

/** How a direction is drawn. Line pattern and shape tell the two apart without colour. */
export interface DirectionStyle {
  readonly ink: string
  readonly dashes: string | undefined
  readonly shape: 'disc' | 'diamond'
  readonly words: string
  /** On which side of a mark its runs stand, so that those of both directions can be told apart. */
  readonly side: -1 | 1
}

const STYLES: Readonly<Record<Direction, Omit<DirectionStyle, 'ink'>>> = {
  1: { dashes: undefined, shape: 'disc', words: 'solid line, discs', side: -1 },
  [-1]: { dashes: '7 4', shape: 'diamond', words: 'dashed line, diamonds', side: 1 },
}

export function directionStyle(direction: Direction, { directions }: Inks = PRINTED): DirectionStyle {
  return { ...STYLES[direction], ink: directions[direction] }
}
