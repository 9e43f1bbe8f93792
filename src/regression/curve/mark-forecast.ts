import {
  factorInPlace,
  lineCovariance,
  maternMatrix,
  normalLogDensity,
  solveLowerInPlace,
} from '../../numbers/index.js'
import { DEVIATION_FLOOR } from './curve-hypotheses.js'
import { type FeedScale, feedScales } from './feed-scale.js'

/** One mark as the others know it. */
export interface KnownMark {
  readonly dial: number
  /** Above zero. */
  readonly feedMmPerMin: number
  /** Relative standard deviation of that mean. */
  readonly relativeDeviation: number
}

/**
 * How probable it is that a mark's runs come to this mean: density of the logarithm of that feed, per unit of the
 * logarithm, for a mean with this relative standard deviation.
 */
export type MarkForecast = (feedMmPerMin: number, relativeDeviation: number) => number

/** Fewest other dials that say where a mark lies. Derived: through two of them any bow will do. */
const DIALS_FOR_FORECAST = 3

/**
 * How far the curve may stray from a straight line, share of full scale: those of `curve-hypotheses.ts` between
 * its extremes, which cost time and change no odds (judgement).
 */
const AMPLITUDES = [0.013, 0.034, 0.088, 0.23]
/** Over which share of the dial; those of `curve-hypotheses.ts` without the shortest (judgement). */
const LENGTHS = [0.25, 0.7, 1.4]

/** The forecast on one scale, for one straying: a normal, and the logarithm of what it counts for. */
interface ForecastPart {
  readonly scale: FeedScale
  readonly mean: number
  readonly variance: number
  readonly logWeight: number
}

/**
 * What the other marks of a dial say of the feed at one dial, before that mark's own runs are looked at.
 *
 * A curve with the prior of the dial curve, without kinks, is conditioned on the other marks, on each scale and for
 * each straying in turn; these count by how well they foretell the other marks (C. E. Rasmussen, C. K. I. Williams,
 * Gaussian Processes for Machine Learning, 2006, eq. 2.25, 2.26 and 2.30). The curve may rise or fall.
 *
 * @param others marks of the dial without the one asked for; more than one may stand at one dial
 * @param dial where the forecast is wanted
 * @returns null where the other marks are too few to say anything
 */
export function forecastMark(others: readonly KnownMark[], dial: number): MarkForecast | null {
  if (new Set(others.map((mark) => mark.dial)).size < DIALS_FOR_FORECAST) return null
  const dials = [...others.map((mark) => mark.dial), dial]
  const low = Math.min(...dials)
  const span = Math.max(...dials) - low
  const places = others.map((mark) => (mark.dial - low) / span)
  const fastest = Math.max(...others.map((mark) => mark.feedMmPerMin))
  const shares = others.map((mark) => mark.feedMmPerMin / fastest)
  const parts = feedScales(shares).flatMap((scale) => {
    const deviations = others.map((mark, i) =>
      Math.max(DEVIATION_FLOOR, mark.relativeDeviation * shares[i]! * scale.derivative(shares[i]!)),
    )
    return forecastsOn(scale, places, shares, deviations, (dial - low) / span)
  })
  const largest = Math.max(...parts.map((part) => part.logWeight))
  const weights = parts.map((part) => Math.exp(part.logWeight - largest))
  const total = weights.reduce((sum, weight) => sum + weight, 0)
  return (feedMmPerMin, relativeDeviation) => {
    const share = feedMmPerMin / fastest
    let density = 0
    for (const [k, { scale, mean, variance }] of parts.entries()) {
      // What a relative change of the feed is on the scale: also the Jacobian of the density in log feed.
      const perLog = share * scale.derivative(share)
      const deviation = Math.sqrt(variance + (relativeDeviation * perLog) ** 2)
      const z = (scale.forward(share) - mean) / deviation
      density += (weights[k]! * Math.exp(-0.5 * z * z) * perLog) / deviation
    }
    return density / (total * Math.sqrt(2 * Math.PI))
  }
}

function forecastsOn(
  scale: FeedScale,
  places: readonly number[],
  shares: readonly number[],
  deviations: readonly number[],
  asked: number,
): ForecastPart[] {
  const n = places.length
  const values = shares.map(scale.forward)
  const logJacobian = shares.reduce((sum, share) => sum + Math.log(scale.derivative(share)), 0)
  return LENGTHS.flatMap((length) => {
    const among = maternMatrix(places, places, length)
    const toAsked = maternMatrix([asked], places, length)
    return AMPLITUDES.map((amplitude) => {
      const factor = new Float64Array(n * n)
      for (let i = 0; i < n; i++) {
        for (let j = 0; j <= i; j++) {
          factor[i * n + j] = lineCovariance(places[i]!, places[j]!) + amplitude ** 2 * among[i * n + j]!
        }
        factor[i * n + i] = factor[i * n + i]! + deviations[i]! ** 2
      }
      factorInPlace(factor, n)
      const measured = Float64Array.from(values)
      solveLowerInPlace(factor, n, measured)
      const link = Float64Array.from(
        places,
        (place, j) => lineCovariance(asked, place) + amplitude ** 2 * toAsked[j]!,
      )
      solveLowerInPlace(factor, n, link)
      let mean = 0
      let variance = lineCovariance(asked, asked) + amplitude ** 2
      for (let j = 0; j < n; j++) {
        mean += link[j]! * measured[j]!
        variance -= link[j]! ** 2
      }
      return { scale, mean, variance, logWeight: normalLogDensity(factor, measured) + logJacobian }
    })
  })
}
