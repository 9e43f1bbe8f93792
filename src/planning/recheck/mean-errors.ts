import { fitMark, type MarkGroup, type RunEvidence, type ScatterPosterior } from '../../regression/index.js'
import type { ErrorPoint, ErrorPosterior } from './error-points.js'
import { sessionWeights } from './session-weights.js'

/**
 * What the error of a log feed is made of, so that errors that two feeds share can be told. For a run-to-run scatter
 * s_run, of whose variance the runs of one travel share the part q, and a dial-reset scatter s_dial its variance is
 * (`runShare` + q·(Σ`travels`² − `inTravels`))·s_run² + Σ`settings`²·s_dial² + `ownVariance` + Σ`common`²; and for days
 * that differ by s_day, of whose mean u_mean is uncertain, Σ`days`²·s_day² + `meanOfDays`²·u_mean² more.
 */
export interface LogFeedErrors {
  /** Sum of the squares of what each run counts for. */
  readonly runShare: number
  /** The part of `runShare` that is of runs in travels through several settings. */
  readonly inTravels: number
  /** By such travel: what its runs count for together. */
  readonly travels: ReadonlyMap<string, number>
  /** By setting of the dial: what it counts for times the relative slope of the curve, per dial unit. */
  readonly settings: ReadonlyMap<string, number>
  /** Reading and clock, relative variance. */
  readonly ownVariance: number
  /** Standard uncertainties that several feeds share in full, by the name of their cause. */
  readonly common: ReadonlyMap<string, number>
  /** By day, named by its session: what it counts for. */
  readonly days: ReadonlyMap<string, number>
  /** What the mean of the days known so far counts for. */
  readonly meanOfDays: number
}

/** No error that other feeds share. */
const NONE_SHARED: ReadonlyMap<string, number> = new Map()

/** Errors of a log feed of which only the standard uncertainty is known, relative. */
export function plainErrors(standardUncertainty: number): LogFeedErrors {
  return {
    ...{ runShare: 0, inTravels: 0, travels: NONE_SHARED, settings: NONE_SHARED },
    ...{ common: NONE_SHARED, days: NONE_SHARED, meanOfDays: 0 },
    ownVariance: standardUncertainty ** 2,
  }
}

/**
 * The mean log feed of the runs of one mark, weighted as a table weighs them, and what its error is made of. Where they
 * were made on several days, each day counts by what it tells, not by its runs.
 *
 * @param runs the runs of the group, in its order
 * @param relativeSlope of the dial curve at this mark, per dial unit
 * @param dayRelative relative standard deviation of the effect of a day; 0 leaves days out
 */
export function meanLogFeed(
  group: MarkGroup,
  runs: readonly RunEvidence[],
  relativeSlope: number,
  posterior: ScatterPosterior,
  dayRelative = 0,
): { readonly logFeed: number; readonly errors: LogFeedErrors } {
  const { runWeights } = fitMark(group, posterior)
  const sessions = new Set(runs.map(sessionOf))
  const weights =
    dayRelative > 0 && sessions.size > 1
      ? weightsByDay(runWeights, runs.map(sessionOf), perRunVariance(posterior, relativeSlope), dayRelative)
      : runWeights
  const settings = new Map<string, number>()
  const travels = new Map<string, number>()
  const days = new Map<string, number>()
  let inTravels = 0
  for (const [k, run] of runs.entries()) {
    addTo(settings, run.setting ?? run.runId, weights[k]! * relativeSlope)
    if (run.travel !== undefined) {
      addTo(travels, run.travel, weights[k]!)
      inTravels += weights[k]! ** 2
    }
    if (dayRelative > 0) addTo(days, sessionOf(run), weights[k]!)
  }
  return {
    logFeed: weights.reduce((sum, weight, k) => sum + weight * Math.log(group.feedsMmPerMin[k]!), 0),
    errors: {
      runShare: weights.reduce((sum, weight) => sum + weight ** 2, 0),
      inTravels,
      travels,
      settings,
      ownVariance: weights.reduce(
        (sum, weight, k) => sum + (weight * group.relativeUncertainties[k]!) ** 2,
        0,
      ),
      ...{ common: NONE_SHARED, days, meanOfDays: 0 },
    },
  }
}

/** Weights of runs of several sessions, by what each session tells of the mean of all days. */
function weightsByDay(
  weights: readonly number[],
  sessions: readonly string[],
  runVariance: number,
  dayRelative: number,
): number[] {
  const names = [...new Set(sessions)]
  const ofSession = (name: string) => weights.filter((_, k) => sessions[k] === name)
  const totals = new Map(names.map((name) => [name, ofSession(name).reduce((sum, one) => sum + one, 0)]))
  const ownVariances = names.map((name) =>
    ofSession(name).reduce((sum, one) => sum + (one / totals.get(name)!) ** 2 * runVariance, 0),
  )
  const shares = sessionWeights(ownVariances, dayRelative)
  return weights.map((one, k) => (shares[names.indexOf(sessions[k]!)]! * one) / totals.get(sessions[k]!)!)
}

/** Expected variance of a run from one setting to the next, its own reading left out. */
function perRunVariance({ points }: ScatterPosterior, relativeSlope: number): number {
  return points.reduce(
    (sum, { weight, runRelative, dialReset }) =>
      sum + weight * (runRelative ** 2 + (relativeSlope * dialReset) ** 2),
    0,
  )
}

/** The session of a run; runs that none is known of count as of one. */
export function sessionOf({ session }: RunEvidence): string {
  return session ?? ''
}

function addTo(sums: Map<string, number>, key: string, value: number): void {
  sums.set(key, (sums.get(key) ?? 0) + value)
}

/** Errors of the difference of two log feeds made from different runs. */
export function differenceErrors(now: LogFeedErrors, then: LogFeedErrors): LogFeedErrors {
  return {
    runShare: now.runShare + then.runShare,
    inTravels: now.inTravels + then.inTravels,
    travels: subtract(now.travels, then.travels),
    settings: subtract(now.settings, then.settings),
    ownVariance: now.ownVariance + then.ownVariance,
    common: subtract(now.common, then.common),
    days: subtract(now.days, then.days),
    meanOfDays: now.meanOfDays - then.meanOfDays,
  }
}

function subtract(
  a: ReadonlyMap<string, number>,
  b: ReadonlyMap<string, number>,
): ReadonlyMap<string, number> {
  if (b.size === 0) return a
  const difference = new Map(a)
  for (const [key, value] of b) difference.set(key, (difference.get(key) ?? 0) - value)
  return difference
}

/** Variance of the error for any sizes of what makes it; what does not depend on them is summed once. */
export function varianceOf(errors: LogFeedErrors): (point: ErrorPoint) => number {
  const { runShare } = errors
  const together = sumOfProducts(errors.travels, errors.travels) - errors.inTravels
  const dial = sumOfProducts(errors.settings, errors.settings)
  const common = sumOfProducts(errors.common, errors.common)
  const days = sumOfProducts(errors.days, errors.days)
  const ofMean = errors.meanOfDays ** 2
  return ({ runRelative, dialReset, travelShare = 0, dayRelative = 0, meanOfDays = 0 }) =>
    (runShare + travelShare * together) * runRelative ** 2 +
    dial * dialReset ** 2 +
    errors.ownVariance +
    common +
    days * dayRelative ** 2 +
    ofMean * meanOfDays ** 2
}

/** Variance of the error with what is known of those sizes. */
export function expectedVariance(errors: LogFeedErrors, { points }: ErrorPosterior): number {
  const variance = varianceOf(errors)
  return points.reduce((sum, point) => sum + point.weight * variance(point), 0)
}

/** Covariance of two errors that come from different runs, for any such sizes; summed once as the variance is. */
export function covarianceOf(a: LogFeedErrors, b: LogFeedErrors): (point: ErrorPoint) => number {
  const travels = sumOfProducts(a.travels, b.travels)
  const dial = sumOfProducts(a.settings, b.settings)
  const common = sumOfProducts(a.common, b.common)
  const days = sumOfProducts(a.days, b.days)
  const ofMean = a.meanOfDays * b.meanOfDays
  return ({ runRelative, dialReset, travelShare = 0, dayRelative = 0, meanOfDays = 0 }) =>
    travelShare * travels * runRelative ** 2 +
    dial * dialReset ** 2 +
    common +
    days * dayRelative ** 2 +
    ofMean * meanOfDays ** 2
}

function sumOfProducts(a: ReadonlyMap<string, number>, b: ReadonlyMap<string, number>): number {
  let sum = 0
  for (const [key, value] of a) sum += value * (b.get(key) ?? 0)
  return sum
}
