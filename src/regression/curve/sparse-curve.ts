import {
  evaluateCubic,
  isotonic,
  type PiecewiseCubic,
  pchip,
  riseInPlace,
  seededNormal,
  seededUniform,
} from '../../numbers/index.js'
import type { NoisePoint } from '../scatter/noise-model.js'
import type { CurveDraw, CurveKnot } from './curve-draws.js'

/**
 * How far a dial curve may bulge between two marks, share of the rise between them, before anything is known of its
 * shape: a standard deviation. A parabola from zero bulges by a quarter; with 0.15 the bands of two and three marks
 * held one third of an S-shaped dial in simulation.
 */
const BULGE_BEFOREHAND = 0.25

const DRAWS = 1200

/** PCHIP through the marks' feeds, made rising first. At least two marks. */
export function sparseCurve(knots: readonly Pick<CurveKnot, 'dial' | 'feedMmPerMin'>[]): PiecewiseCubic {
  return pchip(
    knots.map((knot) => knot.dial),
    isotonic(knots.map((knot) => knot.feedMmPerMin)),
  )
}

/**
 * Curves through two or three marks, or through marks too seldom repeated for more: PCHIP through marks moved by
 * their scatter, with a bulge between marks as large as leaving out one mark at a time shows it to be. A curve never
 * leaves the feeds of the two marks it runs between, because a dial curve does not fall.
 */
export function drawSparseCurves(
  knots: readonly CurveKnot[],
  noise: readonly NoisePoint[],
  grid: readonly number[],
  seed: number,
): CurveDraw[] {
  const normal = seededNormal(seed)
  const uniform = seededUniform(seed ^ 0x55555555)
  const bulge = bulgeShare(knots)
  const dials = knots.map((knot) => knot.dial)
  return Array.from({ length: DRAWS }, () => {
    const q = pickNoise(noise, uniform())
    const feeds = isotonic(
      knots.map((knot) => {
        const deviation = Math.sqrt(knot.meanVariances[q]!)
        // A creeping mark may scatter by more than its feed: the log scale is no use there.
        return deviation < knot.feedMmPerMin
          ? knot.feedMmPerMin * Math.exp((deviation / knot.feedMmPerMin) * normal())
          : Math.max(0, knot.feedMmPerMin + deviation * normal())
      }),
    )
    const cubic = pchip(dials, feeds)
    const bulges = dials.map(() => bulge * normal())
    let i = 0
    const feedsMmPerMin = Float64Array.from(grid, (dial) => {
      while (i < dials.length - 2 && dial > dials[i + 1]!) i++
      const share = (dial - dials[i]!) / (dials[i + 1]! - dials[i]!)
      const low = feeds[i]!
      const high = feeds[i + 1]!
      const feed = evaluateCubic(cubic, dial) + 4 * share * (1 - share) * bulges[i]! * (high - low)
      return Math.min(high, Math.max(low, feed))
    })
    return { feedsMmPerMin: riseInPlace(feedsMmPerMin), noise: noise[q]! }
  })
}

/** Root mean square of what PCHIP misses at a mark left out, share of the rise around it; with the guess as one more. */
function bulgeShare(knots: readonly CurveKnot[]): number {
  let squares = BULGE_BEFOREHAND ** 2
  let count = 1
  for (let i = 1; i < knots.length - 1; i++) {
    const rise = knots[i + 1]!.feedMmPerMin - knots[i - 1]!.feedMmPerMin
    if (!(rise > 0)) continue
    const without = sparseCurve(knots.filter((_, k) => k !== i))
    squares += ((evaluateCubic(without, knots[i]!.dial) - knots[i]!.feedMmPerMin) / rise) ** 2
    count += 1
  }
  return Math.sqrt(squares / count)
}

function pickNoise(noise: readonly NoisePoint[], probability: number): number {
  let sum = 0
  for (let q = 0; q < noise.length - 1; q++) {
    sum += noise[q]!.weight
    if (probability < sum) return q
  }
  return noise.length - 1
}
