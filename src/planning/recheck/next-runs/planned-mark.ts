import type { MixturePart } from '../../../numbers/index.js'
import { type ErrorPoint, type ErrorPosterior, mixtureOver } from '../error-points.js'
import {
  differenceErrors,
  expectedVariance,
  type LogFeedErrors,
  plainErrors,
  varianceOf,
} from '../mean-errors.js'
import { sessionWeights } from '../session-weights.js'

/** A mark as the plan for more runs sees it. */
export interface PlannedMark {
  readonly dial: number
  /** Of the dial curve, per dial unit. */
  readonly relativeSlope: number
  /** Logarithm of now over then so far; 0 where there is no new run yet. */
  readonly difference: number
  readonly thenErrors: LogFeedErrors
  /** Errors of the mean of the new runs; of one run where there is none yet. */
  readonly nowErrors: LogFeedErrors
  /** New runs so far, by session. */
  readonly sessions: ReadonlyMap<string, number>
  /** Root mean square of the effect of a day, relative; 0 leaves days out. */
  readonly dayRelative: number
}

/** Runs yet to be made at each dial, all in one session. */
export interface PlannedSession {
  readonly session: string
  readonly runs: ReadonlyMap<number, number>
}

/** Name of a day yet to come. */
export function anotherDay(number: number): string {
  return `another day ${number}`
}

/** What is uncertain of a mark's difference, now or once planned runs are made. */
export interface PlannedError {
  /** What the mark has for itself. */
  readonly own: (point: ErrorPoint) => number
  /** What all marks share: the days, and what their table has in common. */
  readonly shared: (point: ErrorPoint) => number
  /** In all, and what is shared of it, with what is known of scatters and days. */
  readonly expected: number
  readonly expectedShared: number
}

/** The whole error of a mark's difference as a mixture over scatters and days. */
export function mixtureOf({ own, shared }: PlannedError, posterior: ErrorPosterior): MixturePart[] {
  return mixtureOver(posterior, (point) => own(point) + shared(point))
}

/** What is uncertain of a mark once some runs are made as planned; null while it has none. */
export function plannedError(
  mark: PlannedMark,
  planned: readonly PlannedSession[],
  posterior: ErrorPosterior,
): PlannedError | null {
  const counts = new Map(mark.sessions)
  for (const { session, runs } of planned) {
    const more = runs.get(mark.dial) ?? 0
    if (more > 0) counts.set(session, (counts.get(session) ?? 0) + more)
  }
  return errorWith(mark, counts, posterior)
}

/** What is uncertain of a mark's difference were the new runs exact and made in so many sessions. */
export function errorWithExactRuns(
  mark: PlannedMark,
  sessions: readonly string[],
  posterior: ErrorPosterior,
): PlannedError {
  return errorWith(mark, new Map(sessions.map((session) => [session, Number.POSITIVE_INFINITY])), posterior)!
}

function errorWith(
  mark: PlannedMark,
  counts: ReadonlyMap<string, number>,
  posterior: ErrorPosterior,
): PlannedError | null {
  const { thenErrors, nowErrors, dayRelative } = mark
  const mean = meanOver(mark, counts, posterior)
  if (mean === null) return null
  const soFar = meanOver(mark, mark.sessions, posterior)
  const ofNow = varianceOf(alone(nowErrors))
  const ofThen = varianceOf(alone(thenErrors))
  const perRun = (point: ErrorPoint) => ofNow(point) / (soFar?.runShare ?? 1)
  const ofDays = { ...plainErrors(0), days: dayRelative > 0 ? mean.weights : new Map<string, number>() }
  const { common, days, meanOfDays } = differenceErrors(ofDays, thenErrors)
  const shared = varianceOf({ ...plainErrors(0), common, days, meanOfDays })
  const own = (point: ErrorPoint) => ofThen(point) + mean.runShare * perRun(point)
  const expectedOf = (variance: (point: ErrorPoint) => number) =>
    posterior.points.reduce((sum, point) => sum + point.weight * variance(point), 0)
  const expectedShared = expectedOf(shared)
  return { own, shared, expected: expectedOf(own) + expectedShared, expectedShared }
}

/** What each session counts for, and the sum of the squares of what each run does; null where there is no run. */
function meanOver(mark: PlannedMark, counts: ReadonlyMap<string, number>, posterior: ErrorPosterior) {
  if (counts.size === 0) return null
  const runs = [...counts.values()]
  const perRun = oneRunVariance(mark, posterior)
  const weights = sessionWeights(
    runs.map((count) => perRun / count),
    mark.dayRelative,
  )
  return {
    weights: new Map([...counts.keys()].map((session, i) => [session, weights[i]!])),
    runShare: weights.reduce((sum, weight, i) => sum + weight ** 2 / runs[i]!, 0),
  }
}

/** Expected variance of one new run at a mark. Near enough for weights: the runs so far as if all of one session. */
function oneRunVariance(mark: PlannedMark, posterior: ErrorPosterior): number {
  const total = [...mark.sessions.values()].reduce((sum, count) => sum + count, 0)
  return expectedVariance(alone(mark.nowErrors), posterior) * Math.max(1, total)
}

/** How far a further day may lie off the mean of the days before it, over all marks. */
export interface DayOff {
  /** Variance of that by the days themselves, as a multiple of the variance of a day effect. */
  readonly days: number
  /** Variance of it by the runs of each day. */
  readonly ownVariance: number
}

/**
 * How far the day of the last of some planned sessions may lie off the mean of the days before it: what tells how far days
 * differ. Null where that day has runs before, or no other has.
 */
export function dayOff(
  marks: readonly PlannedMark[],
  planned: readonly PlannedSession[],
  posterior: ErrorPosterior,
): DayOff | null {
  const precisions = new Map<string, number>()
  const add = (session: string, precision: number) =>
    precisions.set(session, (precisions.get(session) ?? 0) + precision)
  for (const mark of marks) {
    const perRun = oneRunVariance(mark, posterior)
    for (const [session, runs] of mark.sessions) add(session, runs / perRun)
    for (const { session, runs } of planned) add(session, (runs.get(mark.dial) ?? 0) / perRun)
  }
  const last = planned.at(-1)?.session
  const isKnown =
    planned.slice(0, -1).some(({ session }) => session === last) ||
    marks.some(({ sessions }) => last !== undefined && sessions.has(last))
  const before = [...precisions].flatMap(([session, one]) => (session === last || one === 0 ? [] : 1 / one))
  if (last === undefined || isKnown || before.length === 0) return null
  const weights = sessionWeights(before, marks[0]!.dayRelative)
  const sumOver = (of: (variance: number) => number) =>
    weights.reduce((sum, weight, k) => sum + weight ** 2 * of(before[k]!), 0)
  return { days: 1 + sumOver(() => 1), ownVariance: 1 / precisions.get(last)! + sumOver((one) => one) }
}

/** What a mark has for itself. */
function alone(errors: LogFeedErrors): LogFeedErrors {
  return { ...errors, common: new Map(), days: new Map(), meanOfDays: 0 }
}
