import { factorInPlace, maternMatrix, normalLogDensity, solveLowerInPlace } from '../../numbers/index.js'
import type { NoisePoint } from '../scatter/noise-model.js'

/** What is known of the logarithms of both directions. */
export interface Ratios {
  /** Where the marks are on the grid. */
  readonly atMarks: readonly number[]
  readonly markPlaces: readonly number[]
  /** Fastest feed over the feed, at each grid place. */
  readonly slowness: readonly number[]
  /** Logarithm of each mark's feed. */
  readonly logFeeds: readonly number[]
}

/** How a direction may differ from the other one beside a factor. */
export interface Deviation {
  /** Standard deviation of a smooth straying, relative, and over which share of the dial it strays another way. */
  readonly amplitude: number
  readonly length: number
  /** Standard deviation of a feed that is lost or gained alike at all settings, share of the fastest: friction. */
  readonly lost: number
  readonly logPrior: number
}

/**
 * Deviations tried. Drives are seldom more than a percent off the other direction's shape; a tenth of that does not
 * show, and ten times that is another shape. Friction takes the same from every feed, which shows at the slow ones.
 * Common practice, no source; what these leave open is tried by `npm run proof:shape`.
 */
const AMPLITUDES = [
  [0.001, 0.25],
  [0.003, 0.25],
  [0.01, 0.3],
  [0.03, 0.15],
  [0.1, 0.05],
] as const
/**
 * Over which share of the dial the ratio of the directions may stray, each as probable as the other. Judgement:
 * between those of `curve-hypotheses.ts`. Their shortest, 0.1, was tried as a third on machines of `npm run proof:shape`
 * with 4 marks: where the ratio wavers three times along the dial (78 machines), the bands then held 94 instead of 90 % of
 * the feeds at marks of the other direction. But borrowed bands came out 4 % wider between marks and 12 % at marks of the
 * other direction, which costs runs, and over all kinds of deviation they held 99 % between marks, more than is promised.
 */
export const LENGTHS = [0.3, 1] as const
/**
 * Friction tried: what is lost at all settings, share of the fastest feed, and how likely it is beforehand (common
 * practice, no source; see above).
 */
const LOST = [
  [0, 0.4],
  [0.002, 0.35],
  [0.006, 0.25],
] as const

/**
 * Standard deviation of the logarithm of the factor between directions, beforehand. Judgement: wide, so that the
 * marks tell it.
 */
export const FACTOR_BEFOREHAND = 0.3

/** Covariance of the ratio among the marks, without what the marks themselves are unsure by. */
export function covarianceAtMarks(
  ratios: Ratios,
  { amplitude, lost }: Deviation,
  amongMarks: Float64Array,
): Float64Array {
  const n = ratios.atMarks.length
  return Float64Array.from({ length: n * n }, (_, k) => {
    const [i, j] = [Math.floor(k / n), k % n]
    const slow = ratios.slowness[ratios.atMarks[i]!]! * ratios.slowness[ratios.atMarks[j]!]!
    return FACTOR_BEFOREHAND ** 2 + lost ** 2 * slow + amplitude ** 2 * amongMarks[k]!
  })
}

/** Which deviation each draw is made with: as often as the marks and the lent curve make it probable. */
export function weighDeviations(
  ratios: Ratios,
  variancesOf: readonly (readonly number[])[],
  noise: readonly NoisePoint[],
  logLent: readonly Float64Array[],
  lentMean: readonly number[],
): (draw: number) => Deviation {
  const { atMarks, markPlaces, logFeeds } = ratios
  const n = atMarks.length
  const errors = new Float64Array(n * n)
  for (let i = 0; i < n; i++) {
    const off = (lentCurve: Float64Array, k: number) => lentCurve[atMarks[k]!]! - lentMean[atMarks[k]!]!
    for (let j = 0; j < n; j++) {
      errors[i * n + j] = logLent.reduce((sum, one) => sum + off(one, i) * off(one, j), 0) / logLent.length
    }
    const own = noise.reduce((sum, point, q) => sum + point.weight * variancesOf[q]![i]!, 0)
    errors[i * n + i] = errors[i * n + i]! + own
  }
  const tried = LENGTHS.flatMap((length) => {
    const amongMarks = maternMatrix(markPlaces, markPlaces, length)
    return AMPLITUDES.flatMap(([amplitude, ofAmplitude]) =>
      LOST.map(([lost, ofLost]) => {
        const deviation = { amplitude, length, lost, logPrior: Math.log(ofAmplitude * ofLost) }
        const factor = covarianceAtMarks(ratios, deviation, amongMarks)
        for (let k = 0; k < n * n; k++) factor[k] = factor[k]! + errors[k]!
        factorInPlace(factor, n)
        const whitened = Float64Array.from(logFeeds, (log, j) => log - lentMean[atMarks[j]!]!)
        solveLowerInPlace(factor, n, whitened)
        return { deviation, logWeight: normalLogDensity(factor, whitened) + deviation.logPrior }
      }),
    )
  })
  const largest = Math.max(...tried.map(({ logWeight }) => logWeight))
  const weights = tried.map(({ logWeight }) => Math.exp(logWeight - largest))
  const total = weights.reduce((sum, weight) => sum + weight, 0)
  return (draw) => {
    // Even steps of the golden section spread the draws over the deviations, whatever the order of the lent ones.
    let left = ((draw * GOLDEN_SECTION) % 1) * total
    const found = weights.findIndex((weight) => {
      left -= weight
      return left < 0
    })
    return tried[found === -1 ? 0 : found]!.deviation
  }
}

/** The golden section, whose multiples fill an interval evenly (by definition). */
const GOLDEN_SECTION = (Math.sqrt(5) - 1) / 2
