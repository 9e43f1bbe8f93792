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
 * Restricted log-likelihood of `values`, one a run of the mark. Within a setting they scatter by run and reading alone;
 * the settings' weighted means scatter by the dial too. Splitting it so is exact (Sherman-Morrison on each setting's
 * block). Beside a part that does not depend on the values it is quadratic in them.
 */
export function logLikelihood(runs: ScatteringMark, logValues: readonly number[], point: Scatters): number {
  const runVariance = point.runRelative ** 2
  const means: number[] = []
  const variances: number[] = []
  let within = 0
  for (const setting of runs.settings) {
    const spread = restricted(
      setting.map((k) => logValues[k]!),
      setting.map((k) => runVariance + runs.ownVariances[k]!),
    )
    within += spread.logLikelihood
    means.push(spread.mean)
    variances.push(spread.meanVariance + runs.slopeSquared * point.dialReset ** 2)
  }
  return within + restricted(means, variances).logLikelihood
}

/**
 * The matrix P, runs by runs, of that quadratic form: `logLikelihood` of values v is that of zeros less half of v′Pv. It is
 * the inverse covariance of the runs with their mean projected out.
 */
export function restrictedPrecision(runs: ScatteringMark, point: Scatters): number[][] {
  const weights = runs.ownVariances.map((own) => 1 / (point.runRelative ** 2 + own))
  const dialVariance = runs.slopeSquared * point.dialReset ** 2
  const size = weights.length
  const inverse = Array.from({ length: size }, () => new Array<number>(size).fill(0))
  for (const setting of runs.settings) {
    const sum = setting.reduce((total, k) => total + weights[k]!, 0)
    for (const k of setting)
      for (const l of setting)
        inverse[k]![l] =
          (k === l ? weights[k]! : 0) - (weights[k]! * weights[l]! * dialVariance) / (1 + sum * dialVariance)
  }
  const rows = inverse.map((row) => row.reduce((sum, value) => sum + value, 0))
  const total = rows.reduce((sum, value) => sum + value, 0)
  return inverse.map((row, k) => row.map((value, l) => value - (rows[k]! * rows[l]!) / total))
}

/** Values of known variance around a mean that is integrated out; of a single value the likelihood says nothing. */
function restricted(
  values: readonly number[],
  variances: readonly number[],
): { readonly logLikelihood: number; readonly mean: number; readonly meanVariance: number } {
  let sumWeight = 0
  let sumWeighted = 0
  let logDeterminant = 0
  for (let k = 0; k < values.length; k++) {
    sumWeight += 1 / variances[k]!
    sumWeighted += values[k]! / variances[k]!
    logDeterminant += Math.log(variances[k]!)
  }
  const mean = sumWeighted / sumWeight
  let square = 0
  for (let k = 0; k < values.length; k++) square += (values[k]! - mean) ** 2 / variances[k]!
  const logLikelihood = -0.5 * (logDeterminant + Math.log(sumWeight) + square)
  return { logLikelihood, mean, meanVariance: 1 / sumWeight }
}
