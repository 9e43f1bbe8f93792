import type { Direction } from '../../traverse/index.js'
import type { RunEvidence } from '../feed-table.js'
import { commonEffects } from './common-effects.js'
import { dayPrior } from './day-prior.js'
import type { ShiftVariances } from './mark-fit.js'
import type { MarkGroup } from './mark-group.js'
import type { NoiseOptions, NoisePosterior } from './noise-model.js'

/** By how much one session lay off the mean of all sessions of a table, logarithm of the feed. */
interface SessionLevel {
  readonly session: string
  readonly runs: number
  readonly logShift: number
  /** Of a normal distribution with the same 95 % interval. */
  readonly standardDeviation: number
}

/** What the runs of each session have in common, taken out of them, and what that leaves open; of the log feed. */
export interface SessionEffects {
  readonly levels: readonly SessionLevel[]
  /** Sessions that can be compared because they share marks, directly or through others: one list for each such lot. */
  readonly connected: readonly (readonly string[])[]
  /** What to take off the log feed of each run. */
  readonly logShifts: ReadonlyMap<string, number>
  readonly variancesOf: (mark: MarkGroup) => ShiftVariances
  /** Variance of the mean effect over all marks of a direction: an error of level that they share. */
  readonly levelVarianceOf: (direction: Direction) => number
  /** Scatter of the runs beside the effects; null where no mark was repeated. */
  readonly posterior: NoisePosterior | null
}

/**
 * Takes sessions out of the runs of a table, so that what a day does to all feeds counts neither as scatter of its runs
 * nor as a shape of the curve. Each session has an effect on the log feed of its runs (`commonEffects`) whose prior is that
 * of the day effect. The table then stands for the mean of its sessions, each by its runs, as `learnDays` has it.
 *
 * @param runs of both directions
 * @param groupsOf their marks
 * @returns null where all runs were made in one session
 */
export function sessionEffects(
  runs: readonly RunEvidence[],
  groupsOf: (runs: readonly RunEvidence[]) => readonly MarkGroup[],
  options: NoiseOptions,
): SessionEffects | null {
  const sessionOf = new Map(runs.map(({ runId, session }) => [runId, session ?? '']))
  const sessions = [...new Set(sessionOf.values())].sort()
  if (sessions.length < 2) return null
  const groups = groupsOf(runs)
  const placeOf = (runId: string): number => sessions.indexOf(sessionOf.get(runId)!)
  const counts = sessions.map((_, i) => runs.filter((run) => placeOf(run.runId) === i).length)
  const shares = counts.map((count) => count / runs.length)
  const prior = dayPrior().map(({ dayRelative, weight }) => ({ relative: dayRelative, weight }))
  const found = commonEffects(groups, { count: sessions.length, placeOf, prior }, options)
  const ofSession = (i: number) => sessions.map((_, j) => (i === j ? 1 : 0) - shares[j]!)
  const ofMark = (mark: MarkGroup): number[] => {
    // A run that was set aside hardly counts for its mark, nor does its session through it.
    const weights = mark.relativeUncertainties.map((u) => 1 / (TYPICAL_SCATTER ** 2 + u * u))
    const total = weights.reduce((sum, weight) => sum + weight, 0)
    const loading = shares.map((share) => -share)
    for (const [k, runId] of mark.runIds.entries()) loading[placeOf(runId)]! += weights[k]! / total
    return loading
  }
  const ofLevel = (direction: Direction): number[] => {
    const own = groups.filter((group) => group.direction === direction).map(ofMark)
    return shares.map((_, i) => own.reduce((sum, loading) => sum + loading[i]! / own.length, 0))
  }
  const level = new Map(([1, -1] as const).map((direction) => [direction, ofLevel(direction)]))
  return {
    levels: sessions.map((session, i) => ({
      session,
      runs: counts[i]!,
      logShift: found.meanOf(ofSession(i)),
      standardDeviation: Math.sqrt(found.varianceOf(ofSession(i))),
    })),
    connected: found.connected.map((lot) => lot.map((i) => sessions[i]!)),
    logShifts: new Map(runs.map(({ runId }) => [runId, found.meanOf(ofSession(placeOf(runId)))])),
    variancesOf: (mark) => {
      const [whole, shared] = [ofMark(mark), level.get(mark.direction)!]
      return {
        whole: found.varianceOf(whole),
        beside: found.varianceOf(whole.map((value, i) => value - shared[i]!)),
      }
    },
    levelVarianceOf: (direction) => found.varianceOf(level.get(direction)!),
    posterior: found.posterior,
  }
}

/** Scatter beside which a run's own uncertainty is weighed, relative: the middle of what is met (common practice, no source). */
const TYPICAL_SCATTER = 0.007
