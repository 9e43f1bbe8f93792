import {
  evaluateCubic,
  isotonic,
  pchip,
  riseInPlace,
  seededNormal,
  seededUniform,
  weightedIndex,
} from '../../numbers/index.js'
import type { NoisePoint } from '../scatter/noise-model.js'
import type { CurveDraw, CurveKnot } from './curve-draws.js'

/**
 * How far a dial curve may bulge between two marks, share of the rise between them, before anything is known of
 * its shape: a standard deviation. Derived: a parabola from zero bulges by a quarter; with 0.15 the bands of two
 * and three marks held one third of an S-shaped dial in simulation.
 */
export const BULGE_BEFOREHAND = 0.25

/**
 * Curves drawn. Derived as that of `curve-draws.ts`: the edges of the band are good to 4 % of its half width.
 */
const DRAWS = 1200

/** Seed of these draws, as that of the others (judgement: any number would do). */
const SEED = 21

/**
 * Curves through two or three marks, or through marks too seldom repeated for more: PCHIP through marks moved by
 * their scatter, with a bulge between marks as large as leaving out one mark at a time shows it to be. A curve never
 * leaves the feeds of the two marks it runs between, because a dial curve does not fall.
 */
export function drawSparseCurves(
  knots: readonly CurveKnot[],
  noise: readonly NoisePoint[],
  grid: readonly number[],
): CurveDraw[] {
  const normal = seededNormal(SEED)
  const uniform = seededUniform(~SEED)
  const bulge = bulgeShare(knots)
  const dials = knots.map((knot) => knot.dial)
  return Array.from({ length: DRAWS }, () => {
    const q = weightedIndex(noise, uniform())
    const feeds = isotonic(knots.map((knot) => feedWithin(knot, q, normal())))
    const bulges = knots.map(() => bulge * normal())
    const feedsMmPerMin = riseInPlace(curveThrough(dials, feeds, bulges, grid))
    return { feedsMmPerMin, noise: noise[q]!, again: { dial: normal(), run: normal(), level: normal() } }
  })
}

/** A mark's mean feed moved by a standard normal deviate of its error, never below standing still. */
export function feedWithin({ feedMmPerMin, meanVariances }: CurveKnot, noiseIndex: number, deviate: number) {
  const deviation = Math.sqrt(meanVariances[noiseIndex]!)
  // A creeping mark may scatter by more than its feed: the log scale is no use there.
  return deviation < feedMmPerMin
    ? feedMmPerMin * Math.exp((deviation / feedMmPerMin) * deviate)
    : Math.max(0, feedMmPerMin + deviation * deviate)
}

/**
 * PCHIP through feeds with a bulge in every gap, share of the change across it, on a grid; never outside the feeds at
 * the gap's ends, whether the feed rises or falls there.
 */
export function curveThrough(
  dials: readonly number[],
  feeds: readonly number[],
  bulges: readonly number[],
  grid: readonly number[],
): Float64Array {
  const cubic = pchip(dials, feeds)
  const through = new Float64Array(grid.length)
  for (let k = 0, i = 0; k < through.length; k++) {
    const dial = grid[k]!
    while (i < dials.length - 2 && dial > dials[i + 1]!) i++
    const share = (dial - dials[i]!) / (dials[i + 1]! - dials[i]!)
    const from = feeds[i]!
    const to = feeds[i + 1]!
    const feed = evaluateCubic(cubic, dial) + 4 * share * (1 - share) * bulges[i]! * (to - from)
    through[k] = Math.min(Math.max(from, to), Math.max(Math.min(from, to), feed))
  }
  return through
}

/** Root mean square of what PCHIP misses at a mark left out, share of the rise around it; with the guess as one more. */
function bulgeShare(knots: readonly CurveKnot[]): number {
  let squares = BULGE_BEFOREHAND ** 2
  let count = 1
  for (let i = 1; i < knots.length - 1; i++) {
    const rise = knots[i + 1]!.feedMmPerMin - knots[i - 1]!.feedMmPerMin
    if (!(rise > 0)) continue
    const others = knots.filter((_, k) => k !== i)
    const without = pchip(
      others.map((knot) => knot.dial),
      isotonic(others.map((knot) => knot.feedMmPerMin)),
    )
    squares += ((evaluateCubic(without, knots[i]!.dial) - knots[i]!.feedMmPerMin) / rise) ** 2
    count += 1
  }
  return Math.sqrt(squares / count)
}
