import type { Direction } from '../../traverse/index.js'
import { nextUpperBound } from './next-upper-bound.js'

/**
 * Fewest coasts of a setting that give a bound. Derived: with two, Student's 95 % point is 6.3, and a bound of
 * several coasts stops nobody short enough; with three it is 2.9.
 */
export const COASTS_FOR_BOUND = 3

/** The coast of one run, from the moment the drive let go to rest. */
export interface RecordedCoast {
  readonly dial: number | 'rapid'
  readonly direction: Direction
  readonly distanceMm: number
  readonly standardUncertaintyMm: number
}

/** How far the table coasts at one setting in one direction. */
export interface CoastBound {
  readonly dial: number | 'rapid'
  readonly direction: Direction
  readonly coasts: number
  readonly meanMm: number
  /** Spread of the measured coasts, mm; null for a single one. */
  readonly standardDeviationMm: number | null
  /** The next coast stays below with 95 % probability, mm; null with fewer than three coasts. */
  readonly upper95Mm: number | null
}

/**
 * Upper bounds on the next coast of every setting that was recorded, each from its own coasts alone: taking the spread
 * of several settings together narrows nothing without falling short of the 95 % where one of them scatters more.
 *
 * @returns in order of dial, `rapid` last, + before −
 */
export function coastBounds(coasts: readonly RecordedCoast[]): CoastBound[] {
  const dials = [...new Set(coasts.map((coast) => coast.dial))].sort(
    (a, b) => settingRank(a) - settingRank(b),
  )
  return dials.flatMap((dial) =>
    ([1, -1] as const).flatMap((direction): CoastBound[] => {
      const own = coasts.filter((coast) => coast.dial === dial && coast.direction === direction)
      return own.length === 0 ? [] : [boundOf(own, dial, direction)]
    }),
  )
}

function boundOf(own: readonly RecordedCoast[], dial: number | 'rapid', direction: Direction): CoastBound {
  const count = own.length
  const mean = (of: (coast: RecordedCoast) => number) =>
    own.reduce((sum, coast) => sum + of(coast), 0) / count
  const meanMm = mean((coast) => coast.distanceMm)
  const squares = count * mean((coast) => (coast.distanceMm - meanMm) ** 2)
  const standardDeviationMm = count < 2 ? null : Math.sqrt(squares / (count - 1))
  // What the readout and the way of slowing down leave open is much alike for all coasts of a setting.
  const uncertaintyMm = Math.sqrt(mean((coast) => coast.standardUncertaintyMm ** 2))
  return {
    dial,
    direction,
    coasts: count,
    meanMm,
    standardDeviationMm,
    upper95Mm:
      count < COASTS_FOR_BOUND || standardDeviationMm === null
        ? null
        : nextUpperBound(meanMm, count, standardDeviationMm, uncertaintyMm),
  }
}

/** Order of settings: by dial, `rapid` last. */
export function settingRank(dial: number | 'rapid'): number {
  return dial === 'rapid' ? Number.POSITIVE_INFINITY : dial
}
