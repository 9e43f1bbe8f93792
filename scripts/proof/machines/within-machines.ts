import {
  type NextForTable,
  nextForTable,
  placesOf,
  type Setting,
} from '../../../src/planning/good-enough/index.js'
import { type FittedAxis, fastestMark, fitAxis, type RunEvidence } from '../../../src/regression/index.js'
import { type SeededRandom, type SimulatedMill, seededRandom } from '../../../src/simulation/index.js'
import type { Direction } from '../../../src/traverse/index.js'
import { DEVIATIONS, minusFeed } from '../other-direction.js'
import { drawnMill } from './drawn-mill.js'
import { READING, runOf } from './measured-machines.js'

/** How a table is measured until it is good enough. */
interface GoodEnoughDesign {
  readonly directions: readonly Direction[]
  readonly within: number
  readonly percentAlone: boolean
  readonly by: keyof typeof READING
}

/** What came of one machine. */
export interface MeasuredTable {
  readonly family: string
  readonly reached: boolean
  readonly outOfReach: NextForTable['outOfReach']
  readonly runs: number
  /** Runs in all that were expected before the first run, and when the first curve was there. */
  readonly expectedAtStart: number
  readonly expectedAtCurve: number
  /** Every place that counts, and whether its interval held the true feed. */
  readonly places: readonly {
    readonly held: boolean
    readonly atMark: boolean
    readonly direction: Direction
  }[]
  /** The longest that fit and advice took, s. */
  readonly longestS: number
  readonly asked: readonly Setting[]
}

const NINE_MARKS = [2, 3, 4, 5, 6, 7, 8, 9, 10]

/** Where a simulation is stopped that does not end by itself. */
const MOST_RUNS = 200

/** Draws a machine and measures it as it is told to, until there is nothing more to do. */
export function tableUntilGoodEnough(family: string, seed: number, design: GoodEnoughDesign): MeasuredTable {
  const mill = drawnMill(family, seed)
  const random = seededRandom(seed + 1)
  const otherFeed = minusFeed(mill, DEVIATIONS[seed % DEVIATIONS.length]!, random)
  const minus = { ...mill, curve: (dial: number) => otherFeed(dial) / mill.minusFactor }
  const axis = { marks: NINE_MARKS, dialMin: 0, dialMax: 10, stepped: mill.stepped }
  const runs: RunEvidence[] = []
  const expected: { start: number | null; atCurve: number | null } = { start: null, atCurve: null }
  let longestS = 0
  for (;;) {
    const beganS = performance.now() / 1000
    const fitted = runs.length === 0 ? null : fitAxis(runs, axis)
    const answer = nextForTable({ ...design, axis, runs, fitted })
    longestS = Math.max(longestS, performance.now() / 1000 - beganS)
    const inAll = runs.length + answer.runs
    expected.start ??= inAll
    if (answer.next?.because === 'widest' || answer.next?.because === 'between-marks')
      expected.atCurve ??= inAll
    if (answer.next === null || runs.length >= MOST_RUNS) {
      return {
        family,
        reached: answer.reached,
        outOfReach: answer.outOfReach,
        runs: runs.length,
        expectedAtStart: expected.start,
        expectedAtCurve: expected.atCurve ?? inAll,
        places:
          fitted === null
            ? []
            : heldPlaces(fitted, (dial, direction) => (direction === 1 ? mill.curve(dial) : otherFeed(dial))),
        longestS,
        asked: runs.map(({ dial, direction }) => ({ dial, direction })),
      }
    }
    runs.push(
      made(answer.next.direction === 1 ? mill : minus, random, answer.next, runs.length, READING[design.by]),
    )
  }
}

function made(
  mill: SimulatedMill,
  random: SeededRandom,
  setting: Setting,
  count: number,
  readingRelative: number,
): RunEvidence {
  return runOf(mill, random, { ...setting, id: `${count}`, readingRelative })
}

function heldPlaces(
  fitted: FittedAxis,
  feedAt: (dial: number, direction: Direction) => number,
): MeasuredTable['places'] {
  return fitted.directions.flatMap((side) => {
    const points = side.curve.length > 0 ? side.curve : side.marks
    return (placesOf(side, fastestMark(fitted.directions)) ?? []).map(({ dial, direction }) => {
      const [low, high] = points.find((point) => point.dial === dial)!.interval95!
      const feed = feedAt(dial, direction)
      return {
        held: feed >= low && feed <= high,
        atMark: side.marks.some((mark) => mark.dial === dial),
        direction,
      }
    })
  })
}
