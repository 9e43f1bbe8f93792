/** The bars of a seven-segment figure, in the usual order: a top, b, c right, d bottom, e, f left, g middle. */
export const SEGMENTS = 7

/** A figure that may be drawn in two ways. */
type FigureForm = 'usual' | 'other'

/** A pattern of lit bars and what it says. */
export interface Figure {
  readonly lit: readonly boolean[]
  readonly value: number
  /** Set for the figures that makers draw in two ways: 6 and 9 without their outer bar, 7 with a hook. */
  readonly form?: FigureForm
}

/** Patterns of the ten figures (common practice, no source). */
const DRAWN: readonly (readonly [value: number, bars: string, form?: FigureForm])[] = [
  [0, 'abcdef'],
  [1, 'bc'],
  [2, 'abdeg'],
  [3, 'abcdg'],
  [4, 'bcfg'],
  [5, 'acdfg'],
  [6, 'acdefg', 'usual'],
  [6, 'cdefg', 'other'],
  [7, 'abc', 'usual'],
  [7, 'abcf', 'other'],
  [8, 'abcdefg'],
  [9, 'abcdfg', 'usual'],
  [9, 'abcfg', 'other'],
]

export const FIGURES: readonly Figure[] = DRAWN.map(([value, bars, form]) => ({
  value,
  lit: [...'abcdefg'].map((bar) => bars.includes(bar)),
  ...(form === undefined ? {} : { form }),
}))

/** Nothing is lit: a leading zero that is left out, or no minus. */
export const BLANK: readonly boolean[] = Array.from({ length: SEGMENTS }, () => false)
/** The bar in the middle alone. */
export const MINUS: readonly boolean[] = [...'abcdefg'].map((bar) => bar === 'g')
