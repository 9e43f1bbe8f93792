import type { MarkGroup } from './mark-group.js'

/** How far runs of a machine scatter. */
export interface Scatters {
  /** Relative standard deviation from run to run. */
  readonly runRelative: number
  /** Standard deviation of setting the dial again, dial units. */
  readonly dialReset: number
}

interface ScatteringRuns {
  readonly logFeeds: readonly number[]
  readonly ownVariances: readonly number[]
  readonly settings: readonly (readonly number[])[]
}

/** Runs of a mark that tell of scatter. */
export interface ScatteringMark extends ScatteringRuns {
  readonly runIds: readonly string[]
  /** Square of the relative slope of the dial curve. */
  readonly slopeSquared: number
}

/** Marks with a repeat; creeping ones tell nothing of the others. */
export function scatteringMarks(marks: readonly MarkGroup[]): ScatteringMark[] {
  return marks
    .filter((mark) => !mark.creeps && mark.feedsMmPerMin.length > 1)
    .map((mark) => ({
      runIds: mark.runIds,
      logFeeds: mark.feedsMmPerMin.map(Math.log),
      ownVariances: mark.relativeUncertainties.map((u) => u * u),
      settings: mark.settings,
      slopeSquared: (mark.slopeMmPerMin / mark.meanFeedMmPerMin) ** 2,
    }))
}

/** Repeats beyond the first at each mark. */
export function degreesOfFreedom(groups: readonly ScatteringMark[]): number {
  return groups.reduce((sum, group) => sum + group.logFeeds.length - 1, 0)
}

/**
 * Restricted log-likelihood of `logValues`, one a run of the mark, for a pair of scatters. Within a setting they scatter by
 * run and reading alone; the settings' weighted means scatter by the dial too. Splitting it so is exact (Sherman-Morrison
 * on each setting's block). Beside a part that does not depend on the values it is quadratic in them.
 *
 * What happens within the settings is kept until another run-to-run scatter is asked for: a grid of scatters asks for each
 * of them with many scatters of the dial.
 */
export function restrictedLikelihood(
  runs: ScatteringMark,
  logValues: readonly number[],
): (point: Scatters) => number {
  const settings = runs.settings.map((setting) => ({
    values: setting.map((k) => logValues[k]!),
    ownVariances: setting.map((k) => runs.ownVariances[k]!),
  }))
  const means = settings.map(() => 0)
  const meanVariances = settings.map(() => 0)
  let keptFor = Number.NaN
  let within = 0
  return ({ runRelative, dialReset }) => {
    if (runRelative !== keptFor) {
      keptFor = runRelative
      within = 0
      for (const [j, { values, ownVariances }] of settings.entries()) {
        const spread = restricted(values, ownVariances, runRelative ** 2)
        within += spread.logLikelihood
        means[j] = spread.mean
        meanVariances[j] = spread.meanVariance
      }
    }
    return within + restricted(means, meanVariances, runs.slopeSquared * dialReset ** 2).logLikelihood
  }
}

/**
 * The matrix P, runs by runs and row by row, of that quadratic form: `restrictedLikelihood` of values v is that of zeros less half of v′Pv. It is
 * the inverse covariance of the runs with their mean projected out.
 */
export function restrictedPrecision(runs: ScatteringMark, point: Scatters): Float64Array {
  const weights = runs.ownVariances.map((own) => 1 / (point.runRelative ** 2 + own))
  const dialVariance = runs.slopeSquared * point.dialReset ** 2
  const size = weights.length
  const inverse = new Float64Array(size * size)
  const rows = new Float64Array(size)
  for (const setting of runs.settings) {
    const sum = setting.reduce((total, k) => total + weights[k]!, 0)
    for (const k of setting) {
      for (const l of setting) {
        const value =
          (k === l ? weights[k]! : 0) - (weights[k]! * weights[l]! * dialVariance) / (1 + sum * dialVariance)
        inverse[k * size + l] = value
        rows[k] = rows[k]! + value
      }
    }
  }
  const total = rows.reduce((sum, value) => sum + value, 0)
  for (let k = 0, at = 0; k < size; k++)
    for (let l = 0; l < size; l++, at++) inverse[at] = inverse[at]! - (rows[k]! * rows[l]!) / total
  return inverse
}

/**
 * Values of known variance around a mean that is integrated out; of a single value the likelihood says nothing.
 * @param common variance that every value has beside its own
 */
function restricted(
  values: readonly number[],
  ownVariances: readonly number[],
  common: number,
): { readonly logLikelihood: number; readonly mean: number; readonly meanVariance: number } {
  let sumWeight = 0
  let sumWeighted = 0
  let logDeterminant = 0
  for (let k = 0; k < values.length; k++) {
    const variance = ownVariances[k]! + common
    sumWeight += 1 / variance
    sumWeighted += values[k]! / variance
    logDeterminant += Math.log(variance)
  }
  const mean = sumWeighted / sumWeight
  let square = 0
  for (let k = 0; k < values.length; k++) square += (values[k]! - mean) ** 2 / (ownVariances[k]! + common)
  const logLikelihood = -0.5 * (logDeterminant + Math.log(sumWeight) + square)
  return { logLikelihood, mean, meanVariance: 1 / sumWeight }
}
