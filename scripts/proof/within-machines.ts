import { fastestOf, nextForTable, placesOf } from '../../src/planning/good-enough/index.js'
import { type FittedAxis, fitAxis, type RunEvidence } from '../../src/regression/index.js'
import { type SimulatedMill, seededRandom } from '../../src/simulation/index.js'
import type { Direction } from '../../src/traverse/index.js'
import { drawnMill } from './drawn-mill.js'
import { runOf } from './rechecked-machines.js'

export const MARKS_9 = [2, 3, 4, 5, 6, 7, 8, 9, 10]

export interface WithinPlan {
  readonly directions: readonly Direction[]
  readonly within: number
  readonly percentAlone: boolean
  readonly marks: readonly number[]
  readonly readingRelative: number
}

export interface TableFound {
  readonly family: string
  readonly reached: boolean
  readonly outOfReach: number
  readonly runs: number
  readonly promised: number | null
  readonly places: {
    readonly dial: number
    readonly held: boolean
    readonly atMark: boolean
    readonly direction: Direction
  }[]
  readonly trail: string
  readonly msAtMost: number
}

/** Follows what is asked for next until the table is good enough, then asks how often its intervals hold. */
export function tableUntilGoodEnough(family: string, seed: number, plan: WithinPlan): TableFound {
  const mill: SimulatedMill = drawnMill(family, seed)
  const random = seededRandom(seed + 1)
  const axis = { marks: plan.marks, dialMin: 0, dialMax: 10, stepped: family === 'stepped' }
  const runs: RunEvidence[] = []
  let fitted: FittedAxis | null = null
  const trail: string[] = []
  let promised: number | null = null
  let msAtMost = 0
  for (;;) {
    const began = performance.now()
    fitted = runs.length === 0 ? null : fitAxis(runs, axis)
    const answer = nextForTable({ ...plan, axis, runs, fitted })
    msAtMost = Math.max(msAtMost, performance.now() - began)
    if (
      promised === null &&
      answer.next?.because !== 'not-measured' &&
      answer.next?.because !== 'never-repeated'
    )
      promised = runs.length + answer.likely.length
    if (answer.next === null || runs.length >= 150) {
      return {
        family,
        reached: answer.reached,
        outOfReach: answer.outOfReach.length,
        runs: runs.length,
        promised,
        places: heldPlaces(mill, fitted!),
        trail: trail.join(' ') + JSON.stringify(answer.outOfReach),
        msAtMost,
      }
    }
    trail.push(`${answer.next.direction === 1 ? '' : '-'}${answer.next.dial}${answer.next.because[0]}`)
    runs.push(
      runOf(mill, random, { ...answer.next, id: `${runs.length}`, readingRelative: plan.readingRelative }),
    )
  }
}

function heldPlaces(mill: SimulatedMill, fitted: FittedAxis) {
  return fitted.directions.flatMap((side) => {
    const points = side.curve.length > 0 ? side.curve : side.marks
    const factor = side.direction === 1 ? 1 : mill.minusFactor
    const known = placesOf(side, fastestOf(fitted)) ?? []
    return known.map(({ dial }) => {
      const { interval95 } = points.find((point) => point.dial === dial)!
      const feed = mill.curve(dial) * factor
      return {
        dial,
        direction: side.direction,
        atMark: side.marks.some((mark) => mark.dial === dial),
        held: interval95 !== null && feed >= interval95[0] && feed <= interval95[1],
      }
    })
  })
}
