import { seededNormal } from '../../numbers/index.js'
import type { MarkFit } from '../feed-table.js'
import { marksOutOfOrder, type TrendFound } from '../scatter/dial-trend.js'
import type { NoisePoint } from '../scatter/noise-model.js'
import { type CurveDraw, type CurveKnot, drawCurves } from './curve-draws.js'
import { curveGrid } from './dial-curve.js'
import { BULGE_BEFOREHAND, curveThrough, drawSparseCurves, feedWithin } from './sparse-curve.js'

/** A mark that a curve is to pass near, with its own interval. */
export type DrawnMark = CurveKnot & Pick<MarkFit, 'interval95'>

/** What is taken of a dial's curve before it is drawn. */
export interface DialKind {
  /** Where it is unclear, rising and falling curves are drawn alike often. */
  readonly trend: TrendFound
  /** Too few marks, or too seldom repeated, to show the shape of a curve. */
  readonly sparse: boolean
}

/**
 * Marks that show the shape of a curve. Derived: through three any bow will do; the fourth tells whether it holds.
 */
export const MARKS_FOR_SHAPE = 4

/**
 * Seed of these draws: the same deviates for every table, so that the same runs give the same table. Any number
 * would do (judgement).
 */
const SEED = 22

/**
 * Curves that the marks of one direction allow, on the grid of their dial, whichever way its feeds go.
 *
 * A falling dial is drawn as the rising one that it is with its numbers counted backwards. Marks that break the order
 * are not forced into it: between them and their neighbours every second curve passes by them in order, and every
 * second one goes through them as they were measured, because either their numbers or the dial may be wrong. At an end
 * of the dial, where no neighbour is left to go by, all curves go through them.
 *
 * @param marks two or more, in rising dial order
 * @param noise points of the noise posterior, in the order of `meanVariances`
 */
export function drawDialCurves(
  marks: readonly DrawnMark[],
  noise: readonly NoisePoint[],
  { trend, sparse }: DialKind,
): CurveDraw[] {
  if (trend === 1) return drawRisingDial(marks, noise, sparse)
  const backwards = marks.toReversed().map((mark) => ({ ...mark, dial: -mark.dial }))
  const falling = drawRisingDial(backwards, noise, sparse).map(turnedRound)
  if (trend === -1) return falling
  const everySecond = (_: CurveDraw, k: number) => k % 2 === 0
  return [...drawRisingDial(marks, noise, sparse).filter(everySecond), ...falling.filter(everySecond)]
}

function turnedRound({ feedsMmPerMin, noise, again }: CurveDraw): CurveDraw {
  return { feedsMmPerMin: feedsMmPerMin.toReversed(), noise, again: { ...again, dial: -again.dial } }
}

function drawRisingDial(
  marks: readonly DrawnMark[],
  noise: readonly NoisePoint[],
  sparse: boolean,
): CurveDraw[] {
  const grid = curveGrid(marks.map((mark) => mark.dial))
  const out = new Set(marksOutOfOrder(marks, 1))
  const sound = marks.filter((_, i) => !out.has(i))
  if (out.size === 0) return drawOrdered(marks, noise, grid, sparse)
  const at = (mark: DrawnMark) => grid.indexOf(mark.dial)
  const between = sound.length > 1 ? ([at(sound[0]!), at(sound.at(-1)!) + 1] as const) : null
  const ordered = between
    ? drawOrdered(sound, noise, grid.slice(...between), sparse)
    : // Nothing is left that is in order: any curve gives its scatter, and its feeds are all replaced.
      drawSparseCurves(marks, noise, grid)
  const normal = seededNormal(SEED)
  return ordered.map((draw, k) => {
    const q = noise.indexOf(draw.noise)
    const own = marks.map((mark, i) => {
      const deviate = normal()
      if (out.has(i) || between === null) return feedWithin(mark, q, deviate)
      return draw.feedsMmPerMin[at(mark) - between[0]]!
    })
    const through = curveThrough(
      marks.map((mark) => mark.dial),
      own,
      marks.map(() => BULGE_BEFOREHAND * normal()),
      grid,
    )
    const feedsMmPerMin = through.map((feed, i) => {
      if (between === null || i < between[0] || i >= between[1]) return feed
      const touched = k % 2 === 1 && gapTouches(marks, out, grid[i]!)
      return touched ? feed : draw.feedsMmPerMin[i - between[0]]!
    })
    return { ...draw, feedsMmPerMin }
  })
}

function drawOrdered(
  marks: readonly DrawnMark[],
  noise: readonly NoisePoint[],
  grid: readonly number[],
  sparse: boolean,
): CurveDraw[] {
  return sparse || marks.length < MARKS_FOR_SHAPE
    ? drawSparseCurves(marks, noise, grid)
    : drawCurves(marks, noise, grid)
}

/** Whether a mark at one of the ends of the gap that this dial lies in is out of order. */
function gapTouches(marks: readonly DrawnMark[], out: ReadonlySet<number>, dial: number): boolean {
  const above = marks.findIndex((mark) => mark.dial >= dial)
  return out.has(above) || (marks[above]!.dial !== dial && out.has(above - 1))
}
