import type { Direction } from '../../traverse/index.js'
import type { DialWriting } from '../../units/index.js'
import type { RunEvidence } from '../feed-table.js'
import type { DialTrend } from './dial-trend.js'
import type { ShiftVariances } from './mark-fit.js'
import { dialShape, groupByMark, type MarkGroup, sortRuns } from './mark-group.js'
import { assumedNoise, type NoiseOptions, type NoisePosterior, noisePosterior } from './noise-model.js'
import { type OddMark, oddMarks, setAside } from './odd-runs.js'
import { type ScatteringMark, scatteringMarks } from './restricted-likelihood.js'
import { type SessionEffects, sessionEffects } from './session-effects.js'
import { type TravelEffects, travelEffects } from './travel-effects.js'
import { fitWarmUp, sinceSittingBegan, type WarmUpFit } from './warm-up.js'

/** What the dial of the axis is like, and what is asked of the fit. */
export interface FitOptions extends DialWriting {
  /** The dial has only its marks: no curve between them, and it comes back to the same place. */
  readonly stepped: boolean
  /** The dial turns freely but clicks into its marks, or is digital: it comes back to the same place. */
  readonly dialClicks?: boolean
  /**
   * Take out how the feed changes while the drive warms up: the table then describes the drive as warm as at the end
   * of the longest sitting. Without times of the runs nothing is taken out and a warning says so.
   */
  readonly warmUp?: boolean
  /** Marks of earlier tables of this axis, as `scatterBefore` gives them: how far their runs scatter is known beforehand. */
  readonly earlier?: readonly ScatteringMark[]
}

/** One direction of an axis: its runs as `sortRuns` leaves them, and its marks. */
export interface AxisSide {
  readonly direction: Direction
  readonly runs: readonly RunEvidence[]
  readonly groups: readonly MarkGroup[]
}

/** The marks of an axis and how far runs scatter, which drive and dial have in common for both directions. */
export interface AxisScatter {
  readonly sides: readonly AxisSide[]
  /** Which way feeds go along the dial, by the feeds of both directions. */
  readonly trend: DialTrend
  /** What was known beforehand, with no degrees of freedom, where no mark was repeated. */
  readonly posterior: NoisePosterior
  /** How the feed drifted with time; null where the runs cannot show it. */
  readonly drift: WarmUpFit | null
  /** The same where it was asked for: the runs of `sides` are then without it. */
  readonly takenOut: WarmUpFit | null
  /** What the runs of each travel through several settings had in common; the runs of `sides` are then without it. */
  readonly travels: TravelEffects | null
  /** By how much each session lay off their mean; the runs of `sides` are then without it. Null where all are of one. */
  readonly sessions: SessionEffects | null
  /** What all that was taken out of the runs leaves open in a mark by itself. */
  readonly variancesOf: (mark: MarkGroup) => ShiftVariances
  /** And in all marks of a direction together: an error of level that they share. */
  readonly levelVarianceOf: (direction: Direction) => number
  /** Marks with a run that the others make unlikely; those runs of `sides` are set aside. */
  readonly odd: readonly OddMark[]
}

/** Groups the runs of an axis by mark and learns their scatter, without the warming of the drive where that is asked. */
export function axisScatter(runs: readonly RunEvidence[], options: FitOptions): AxisScatter {
  const wanted = options.warmUp === true
  const noise = noiseOptions(options)
  const { sorted: kept, odd, sessions } = withOddSetAside(sortRuns(runs), noise)
  const ofOneDay = kept.map((run) => without(run, sessions?.logShifts))
  const travels = effectsOfTravels(ofOneDay, noise)
  const sorted = ofOneDay.map((run) => without(run, travels?.logShifts))
  const { sides: asMeasured, trend } = axisSides(sorted)
  const groups = asMeasured.flatMap((side) => side.groups)
  const since = sinceSittingBegan(sorted)
  const drift = since && fitWarmUp(groups, since, noise, !wanted)
  const common = { drift, travels, sessions, odd }
  if (!wanted || drift === null) {
    const beside = (travels ?? sessions)?.posterior
    const posterior = beside ?? noisePosterior(groups, noise) ?? assumedNoise(groups, noise)
    return { sides: asMeasured, trend, posterior, takenOut: null, ...common, ...leftOpen(common, null) }
  }
  const shifted = axisSides(sorted.map((run) => without(run, drift.logShifts)))
  return {
    ...shifted,
    posterior: drift.posterior,
    takenOut: drift,
    ...common,
    ...leftOpen(common, drift),
  }
}

function leftOpen(
  { travels, sessions }: Pick<AxisScatter, 'travels' | 'sessions'>,
  takenOut: WarmUpFit | null,
): Pick<AxisScatter, 'variancesOf' | 'levelVarianceOf'> {
  return {
    variancesOf: (mark) => {
      const all = [takenOut, travels, sessions].flatMap((one) => one?.variancesOf(mark) ?? [])
      const sum = (of: (one: ShiftVariances) => number) => all.reduce((total, one) => total + of(one), 0)
      return {
        whole: sum((one) => one.whole),
        beside: sum((one) => one.beside),
        ahead: sum((one) => one.ahead ?? 0),
      }
    },
    levelVarianceOf: (direction) =>
      (takenOut?.levelVariance ?? 0) +
      (travels?.levelVarianceOf(direction) ?? 0) +
      (sessions?.levelVarianceOf(direction) ?? 0),
  }
}

/**
 * Finds marks with an odd run and sets those runs aside. Where there are any they are looked for again, because an odd
 * run also bends the curve by whose slope the scatter of setting the dial is judged, and shifts its session.
 */
function withOddSetAside(
  runs: readonly RunEvidence[],
  noise: NoiseOptions,
): {
  readonly sorted: readonly RunEvidence[]
  readonly odd: readonly OddMark[]
  readonly sessions: SessionEffects | null
} {
  const sessionsOf = (some: readonly RunEvidence[]) => sessionEffects(some, groupsOf, noise)
  const find = (some: readonly RunEvidence[], sessions: SessionEffects | null) =>
    oddMarks(groupsOf(some.map((run) => without(run, sessions?.logShifts))), noise)
  const sessions = sessionsOf(runs)
  const first = find(runs, sessions)
  if (first.length === 0) return { sorted: runs, odd: first, sessions }
  const odd = find(setAside(runs, first, 0), sessionsOf(setAside(runs, first)))
  const sorted = setAside(runs, odd)
  return { sorted, odd, sessions: sessionsOf(sorted) }
}

/**
 * What runs of earlier tables tell of the scatter: their repeated marks, odd runs set aside and sessions taken out.
 *
 * @param states runs of each state that the machine was in, such as between two moves
 */
export function scatterBefore(
  states: readonly (readonly RunEvidence[])[],
  { stepped, dialClicks }: FitOptions,
): ScatteringMark[] {
  return states
    .filter((runs) => runs.length > 0)
    .flatMap((runs) => axisScatter(runs, { stepped, ...(dialClicks ? { dialClicks } : {}) }).sides)
    .flatMap((side) => scatteringMarks(side.groups))
}

/** What the scatter of an axis is learned with. */
export function noiseOptions({ stepped, dialClicks, earlier }: FitOptions): NoiseOptions {
  return { dialRepeats: stepped || dialClicks === true, ...(earlier ? { earlier } : {}) }
}

/** The runs as their sessions' mean would have made them; the same runs where all are of one session. */
export function ofMeanSession(runs: readonly RunEvidence[], options: FitOptions): readonly RunEvidence[] {
  const effects = sessionEffects(runs, groupsOf, noiseOptions(options))
  return effects === null ? runs : runs.map((run) => without(run, effects.logShifts))
}

/**
 * The marks of each direction that was measured, plus direction first.
 * @param fastestMmPerMin of all runs of the axis; that of these runs where left out
 */
export function axisSides(
  runs: readonly RunEvidence[],
  fastestMmPerMin: number = runs.reduce((feed, run) => Math.max(feed, run.feedMmPerMin), 0),
): { readonly sides: readonly AxisSide[]; readonly trend: DialTrend } {
  const sorted = sortRuns(runs)
  const bySide = ([1, -1] as const).flatMap((direction) => {
    const own = sorted.filter((run) => run.direction === direction)
    return own.length === 0 ? [] : [{ direction, runs: own }]
  })
  const shape = dialShape(bySide.map((side) => side.runs))
  const sides = bySide.map((side) => ({ ...side, groups: groupByMark(side.runs, fastestMmPerMin, shape) }))
  return { sides, trend: shape.trend }
}

function effectsOfTravels(runs: readonly RunEvidence[], noise: NoiseOptions): TravelEffects | null {
  return runs.every(({ travel }) => travel === undefined) ? null : travelEffects(runs, groupsOf(runs), noise)
}

/** The marks of both directions. */
function groupsOf(runs: readonly RunEvidence[]): MarkGroup[] {
  return axisSides(runs).sides.flatMap((side) => side.groups)
}

/** The run without a shift of its log feed: as a drive warmed through would have made it, a usual travel, a mean day. */
function without(run: RunEvidence, logShifts: ReadonlyMap<string, number> | undefined): RunEvidence {
  if (logShifts === undefined) return run
  const factor = Math.exp(-(logShifts.get(run.runId) ?? 0))
  return {
    ...run,
    feedMmPerMin: run.feedMmPerMin * factor,
    standardUncertaintyMmPerMin: run.standardUncertaintyMmPerMin * factor,
  }
}
