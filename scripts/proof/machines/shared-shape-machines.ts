import { halfWidthOf, placesOf } from '../../../src/planning/good-enough/index.js'
import { fastestMark, fitAxis, type RunEvidence } from '../../../src/regression/index.js'
import { seededRandom } from '../../../src/simulation/index.js'
import { type DeviationKind, minusFeed } from '../other-direction.js'
import { drawnMill } from './drawn-mill.js'
import { READING, runOf } from './measured-machines.js'

/** A machine measured at nine marks one way and at a few the other way, two runs each. */
interface BorrowedTable {
  readonly borrowed: boolean
  /** Share of the places of the borrowing direction whose interval held the true feed. */
  readonly held: number
  /** Half width in the middle of those places, over that of its own few marks without anything borrowed. */
  readonly widthRatio: number
}

const MARKS = [2, 3, 4, 5, 6, 7, 8, 9, 10]
const OTHER_MARKS: Readonly<Record<number, readonly number[]>> = {
  3: [2, 6, 10],
  4: [2, 5, 8, 10],
  5: [2, 4, 6, 8, 10],
}

/** Draws a machine and fits it; `marks` says how many there are in the minus direction. */
export function borrowedTable(
  family: string,
  seed: number,
  marks: keyof typeof OTHER_MARKS,
  kind: DeviationKind,
): BorrowedTable {
  const mill = drawnMill(family, seed)
  const random = seededRandom(seed + 1)
  const otherFeed = minusFeed(mill, kind, random)
  const other = { ...mill, curve: (dial: number) => otherFeed(dial) / mill.minusFactor }
  const measure = (dials: readonly number[], direction: 1 | -1): RunEvidence[] =>
    dials.flatMap((dial) =>
      [0, 1].map((k) =>
        runOf(direction === 1 ? mill : other, random, {
          ...{ dial, direction, id: `${direction}/${dial}/${k}` },
          readingRelative: READING.readout,
        }),
      ),
    )
  const minus = measure(OTHER_MARKS[marks]!, -1)
  const options = { stepped: false }
  const fitted = fitAxis([...measure(MARKS, 1), ...minus], options)
  const side = fitted.directions.find(({ direction }) => direction === -1)!
  const places = placesOf(side, fastestMark(fitted.directions)) ?? []
  const held = places.filter(({ dial }) => {
    const [low, high] = side.curve.find((point) => point.dial === dial)!.interval95!
    return otherFeed(dial) >= low && otherFeed(dial) <= high
  })
  const alone = fitAxis(minus, options)
  const aloneWidths = (placesOf(alone.directions[0]!, fastestMark(alone.directions)) ?? []).map(halfWidthOf)
  return {
    borrowed: side.warnings.some(({ code }) => code === 'shape-borrowed'),
    held: held.length / places.length,
    widthRatio: middle(places.map(halfWidthOf)) / middle(aloneWidths),
  }
}

function middle(values: readonly number[]): number {
  return [...values].sort((a, b) => a - b)[Math.floor(values.length / 2)] ?? Number.NaN
}
