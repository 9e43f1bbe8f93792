import type { NoiseSummary } from './feed-table.js'
import type { MarkGroup } from './mark-group.js'

/** One possible pair of scatters and how probable it is. */
export interface NoisePoint {
  /** Relative standard deviation from run to run. */
  readonly runRelative: number
  /** Standard deviation of setting the dial again, dial units. */
  readonly dialReset: number
  readonly weight: number
}

/** What the repeats say about the scatter: points whose weights sum to 1. */
export interface NoisePosterior {
  readonly points: readonly NoisePoint[]
  /** Repeats beyond the first at each mark and direction, creeping marks left out. */
  readonly degreesOfFreedom: number
}

export interface NoiseOptions {
  /** The dial comes back to exactly the same place: it clicks, is digital, or has steps. */
  readonly dialRepeats: boolean
}

export interface NoisePrior {
  runPower: number
  dialPower: number
  zeroShare: number
  runMin: number
  runMax: number
  dialMin: number
  dialMax: number
  runCentre?: number
  runSpread?: number
  dialCentre?: number
  dialSpread?: number
}
export const PRIOR: NoisePrior = {
  runPower: 0.2,
  dialPower: 0.2,
  zeroShare: 1,
  runMin: 0.001,
  runMax: 0.08,
  dialMin: 0.0004,
  dialMax: 0.02,
}

const logSpaced = (from: number, to: number, count: number): number[] =>
  Array.from({ length: count }, (_, i) => from * (to / from) ** (i / (count - 1)))

/**
 * Joint posterior of run-to-run and dial-reset scatter over a grid, from the spread of log feed within each mark
 * and direction.
 *
 * A mark's runs scatter with variance s_run² + g²·s_dial² + u², g the relative slope of the dial curve there, u the
 * run's own uncertainty. The likelihood is the restricted one (H. D. Patterson, R. Thompson, Biometrika 58 (1971)
 * 545-554): each mark's own mean is integrated out, so a mark with R runs gives R - 1 degrees of freedom.
 *
 * @returns null where no mark was repeated
 */
export function noisePosterior(marks: readonly MarkGroup[], options: NoiseOptions): NoisePosterior | null {
  const repeated = marks.filter((mark) => !mark.creeps && mark.feedsMmPerMin.length > 1)
  if (repeated.length === 0) return null
  const groups = repeated.map((mark) => ({
    logFeeds: mark.feedsMmPerMin.map(Math.log),
    ownVariances: mark.relativeUncertainties.map((u) => u * u),
    slopeSquared: (mark.slopeMmPerMin / mark.meanFeedMmPerMin) ** 2,
  }))
  const dialScale = Math.max(...marks.map((mark) => Math.abs(mark.dial))) || 1
  const P = PRIOR
  const runGrid = logSpaced(P.runMin, P.runMax, 16)
  const dialGrid = options.dialRepeats ? [0] : [0, ...logSpaced(P.dialMin, P.dialMax, 13)]
  const points = runGrid.flatMap((runRelative) =>
    dialGrid.map((share) => {
      const dialReset = share * dialScale
      let logWeight =
        P.runPower * Math.log(runRelative) + P.dialPower * Math.log((share || P.dialMin) / P.dialMin)
      if (P.runCentre) logWeight -= 0.5 * (Math.log(runRelative / P.runCentre) / P.runSpread!) ** 2
      if (P.dialCentre)
        logWeight -= 0.5 * (Math.log((share || P.dialMin) / P.dialCentre) / P.dialSpread!) ** 2
      if (share === 0) logWeight += Math.log(P.zeroShare)
      for (const group of groups) {
        const common = runRelative ** 2 + group.slopeSquared * dialReset ** 2
        logWeight += restrictedLogLikelihood(group.logFeeds, group.ownVariances, common)
      }
      return { runRelative, dialReset, weight: logWeight }
    }),
  )
  const largest = Math.max(...points.map((point) => point.weight))
  const likely = points
    .map((point) => ({ ...point, weight: Math.exp(point.weight - largest) }))
    .filter((point) => point.weight > 1e-6)
  const total = likely.reduce((sum, point) => sum + point.weight, 0)
  return {
    points: likely.map((point) => ({ ...point, weight: point.weight / total })),
    degreesOfFreedom: groups.reduce((sum, group) => sum + group.logFeeds.length - 1, 0),
  }
}

function restrictedLogLikelihood(values: readonly number[], own: readonly number[], common: number): number {
  let sumWeight = 0
  let sumWeighted = 0
  let logDeterminant = 0
  for (let k = 0; k < values.length; k++) {
    const weight = 1 / (common + own[k]!)
    sumWeight += weight
    sumWeighted += weight * values[k]!
    logDeterminant -= Math.log(weight)
  }
  const mean = sumWeighted / sumWeight
  let square = 0
  for (let k = 0; k < values.length; k++) square += (values[k]! - mean) ** 2 / (common + own[k]!)
  return -0.5 * (logDeterminant + Math.log(sumWeight) + square)
}

/** Posterior means, as kept and shown. */
export function summarizeNoise(posterior: NoisePosterior): NoiseSummary {
  let runRelative = 0
  let dialReset = 0
  for (const point of posterior.points) {
    runRelative += point.weight * point.runRelative
    dialReset += point.weight * point.dialReset
  }
  return { runRelative, dialReset, degreesOfFreedom: posterior.degreesOfFreedom }
}
