import { nextForTable, placesOf } from '../../src/planning/good-enough/index.js'
import {
  type FittedAxis,
  fastestMark,
  fitAxis,
  type RunEvidence,
  type scatterBefore,
} from '../../src/regression/index.js'
import type { SimulatedMill } from '../../src/simulation/index.js'
import type { Direction } from '../../src/traverse/index.js'

/** Marks of every dial in the shop. */
export const MARKS = [2, 3, 4, 5, 6, 7, 8, 9, 10]
export const BOTH: readonly Direction[] = [1, -1]
/**
 * What a reading leaves in a run's feed, relative: a readout over 20 s, over 7 s (the knob set before, or turned
 * on the way: not less than `npm run proof:levels` finds), two presses over 30 s, two readings of a film.
 */
export const READINGS = { readout: 1e-4, run: 8e-4, level: 8e-4, stopwatch: 0.0034, film: 0.0013 } as const
/** A table that needs more runs than this is given up. */
export const MOST_RUNS = 160

/** A table made in the shop. */
export interface ShopTable {
  readonly minutes: number
  readonly runs: number
  /** Every place is good enough, but for gaps that no run a person can make narrows. */
  readonly reached: boolean
  readonly places: readonly { readonly atMark: boolean; readonly held: boolean }[]
}

/** Repeated marks of earlier tables, as `scatterBefore` gives them. */
export type Earlier = ReturnType<typeof scatterBefore>

export function axisOf(mill: SimulatedMill) {
  return { marks: MARKS, dialMin: mill.dialMin, dialMax: mill.dialMax, stepped: mill.stepped }
}

/** What the program asks for next. */
export function asked(
  mill: SimulatedMill,
  runs: readonly RunEvidence[],
  within: number,
  directions: readonly Direction[],
  earlier: Earlier = [],
) {
  const axis = { ...axisOf(mill), earlier }
  const fitted = runs.length === 0 ? null : fitAxis(runs, axis)
  const answer = nextForTable({ within, percentAlone: false, directions, axis, runs, fitted })
  return { ...answer, fitted, outOfReach: answer.outOfReach.length }
}

/** The table as it stands, and what it took. */
export function told(
  mill: SimulatedMill,
  runs: readonly RunEvidence[],
  fitted: FittedAxis | null,
  timeS: number,
  reached: boolean,
): ShopTable {
  const places = fitted === null ? [] : heldPlaces(mill, fitted)
  return { minutes: timeS / 60, runs: runs.length, reached, places }
}

function heldPlaces(mill: SimulatedMill, fitted: FittedAxis): ShopTable['places'] {
  return fitted.directions.flatMap((side) => {
    const points = side.curve.length > 0 ? side.curve : side.marks
    const factor = side.direction === 1 ? 1 : mill.minusFactor
    return (placesOf(side, fastestMark(fitted.directions)) ?? []).map(({ dial }) => {
      const { interval95 } = points.find((point) => point.dial === dial)!
      const feed = mill.curve(dial) * factor
      return {
        atMark: side.marks.some((mark) => mark.dial === dial),
        held: interval95 !== null && feed >= interval95[0] && feed <= interval95[1],
      }
    })
  })
}
