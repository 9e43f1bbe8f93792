import { DataError, sentence, way } from '../../errors/index.js'
import {
  COASTS_FOR_BOUND,
  type CoastBound,
  coastBounds,
  type RecordedCoast,
  type StopAllowance,
  settingRank,
  stopAllowance,
} from '../../planning/stops/index.js'
import {
  type Axis,
  type DialSetting,
  isCounting,
  isCutting,
  type Run,
  type Store,
} from '../../store/index.js'
import type { Direction } from '../../traverse/index.js'
import { type DialWriting, directionSign, writeDial, writingOf } from '../../units/index.js'

/** Which settings are asked for; all recorded ones where nothing is said. */
export interface AskedStops {
  readonly dials: readonly DialSetting[] | null
  readonly direction: Direction | null
  /** What the user wants to have to spare, mm. */
  readonly marginMm: number
}

/** A setting with its bound. */
export interface BoundedCoast extends CoastBound {
  readonly upper95Mm: number
  /** Mean feed of its runs, mm/min. */
  readonly feedMmPerMin: number
}

/** A measured setting without a bound. */
interface UnboundedSetting {
  readonly dial: DialSetting
  readonly direction: Direction
  readonly coasts: number
  /** True where it feeds faster than every setting with a bound, so that it coasts farther. */
  readonly faster: boolean
}

/** How far short of the hard end the limit stop must trip. */
export interface StopDistances extends DialWriting {
  readonly coasts: readonly BoundedCoast[]
  /** The farthest of the bounds, or of the coasts seen where one was longer, with what comes on top of it, mm. */
  readonly setStopShortMm: number
  readonly farthest: BoundedCoast
  /** The fastest of the settings with a bound: the answer holds up to its feed. */
  readonly fastest: BoundedCoast
  /** What is added to the coast, mm: the margin asked for, and never less than the allowance. */
  readonly addedMm: number
  readonly allowance: StopAllowance
  /** A coast that was longer than every bound, at a setting with too few for one, mm; null where there is none. */
  readonly longerSeenMm: number | null
  /** Settings that were measured, with fewer coasts than a bound needs or with none. */
  readonly notCovered: readonly UnboundedSetting[]
  /** Directions without any bound. */
  readonly missingDirections: readonly Direction[]
  /** Whether the rapid traverse is among the settings. */
  readonly coversRapid: boolean
  /** Settings whose dial was not set anew between the coasts, so that setting it again does not show in them. */
  readonly notSetAgain: readonly BoundedCoast[]
}

/**
 * Bounds on the coast of the settings asked for, from the accepted readout runs of an axis; runs under cut are left
 * out, since a cut brakes the table. What the stop needs beyond the coast comes on top (`stopAllowance`).
 *
 * @throws DataError `too-few-coasts` naming what is missing, where a setting asked for has no bound or none has
 */
export function stopDistances(store: Store, axis: Axis, asked: AskedStops): StopDistances {
  const runs = store.runs
    .list(axis.id, asked.direction === null ? {} : { direction: asked.direction })
    .filter((run) => isCounting(run) && !isCutting(run))
    .filter((run) => asked.dials === null || asked.dials.includes(run.dial))
  const recorded = runs.flatMap(coastOf)
  const bounds = coastBounds(recorded)
  const coasts = bounds.flatMap(({ upper95Mm, ...bound }): BoundedCoast[] =>
    upper95Mm === null ? [] : [{ ...bound, upper95Mm, feedMmPerMin: meanFeed(runs, bound) }],
  )
  refuseMissing(
    axis,
    asked,
    coasts,
    bounds.filter((bound) => bound.upper95Mm === null),
  )
  const farthest = coasts.reduce((most, one) => (one.upper95Mm > most.upper95Mm ? one : most))
  const fastest = coasts.reduce((most, one) => (one.feedMmPerMin > most.feedMmPerMin ? one : most))
  const allowance = stopAllowance(fastest.feedMmPerMin, axis.rotary ? 'deg' : 'mm')
  const addedMm = Math.max(asked.marginMm, allowance.allowanceMm)
  const longestSeenMm = Math.max(...recorded.map((coast) => coast.distanceMm))
  return {
    ...writingOf(axis),
    coasts,
    setStopShortMm: Math.max(farthest.upper95Mm, longestSeenMm) + addedMm,
    farthest,
    fastest,
    addedMm,
    allowance,
    longerSeenMm: longestSeenMm > farthest.upper95Mm ? longestSeenMm : null,
    notCovered: settingsWithoutBound(runs, bounds, fastest),
    missingDirections: ([1, -1] as const).filter(
      (direction) => !coasts.some((one) => one.direction === direction),
    ),
    coversRapid: coasts.some((one) => one.dial === 'rapid'),
    notSetAgain: axis.stepped || axis.dialClicks ? [] : coasts.filter((one) => oneSetting(runs, one)),
  }
}

/** Settings that runs were made at, by stopwatch too, and that have no bound. */
function settingsWithoutBound(
  runs: readonly Run[],
  bounds: readonly CoastBound[],
  fastest: BoundedCoast,
): UnboundedSetting[] {
  const dials = [...new Set(runs.map((run) => run.dial))].sort((a, b) => settingRank(a) - settingRank(b))
  return dials.flatMap((dial) =>
    ([1, -1] as const).flatMap((direction): UnboundedSetting[] => {
      if (!runs.some((run) => isAt(run, { dial, direction }))) return []
      const bound = bounds.find((one) => isAt(one, { dial, direction }))
      if (bound !== undefined && bound.upper95Mm !== null) return []
      const faster = meanFeed(runs, { dial, direction }) > fastest.feedMmPerMin
      return [{ dial, direction, coasts: bound?.coasts ?? 0, faster }]
    }),
  )
}

function isAt(one: Setting, other: Setting): boolean {
  return one.dial === other.dial && one.direction === other.direction
}

function meanFeed(runs: readonly Run[], setting: Setting): number {
  const feeds = runs.flatMap((run) => (isAt(run, setting) ? (run.feed?.feedMmPerMin ?? []) : []))
  return feeds.reduce((sum, feed) => sum + feed, 0) / feeds.length
}

interface Setting {
  readonly dial: DialSetting
  readonly direction: Direction
}

function coastOf(run: Run): RecordedCoast[] {
  if (run.coast === null || run.coast.standardUncertaintyMm === null) return []
  const { dial, direction, coast } = run
  return [
    { dial, direction, distanceMm: coast.distanceMm, standardUncertaintyMm: run.coast.standardUncertaintyMm },
  ]
}

function oneSetting(runs: readonly Run[], { dial, direction }: CoastBound): boolean {
  if (dial === 'rapid') return false
  const own = runs.filter((run) => run.dial === dial && run.direction === direction)
  const recordings = new Set(own.map((run) => run.recordingId))
  return recordings.size === 1 || own.filter((run) => run.dialReset).length < 2
}

function refuseMissing(
  axis: Axis,
  { dials, direction }: AskedStops,
  coasts: readonly CoastBound[],
  tooFew: readonly CoastBound[],
): void {
  const without = (dials ?? []).filter((dial) => !coasts.some((one) => one.dial === dial))
  const short = dials === null && coasts.length > 0 ? [] : tooFew
  if (without.length === 0 && short.length === 0 && coasts.length > 0) return
  const unseen = without.filter((dial) => !tooFew.some((one) => one.dial === dial))
  const missing = [
    ...tooFewCoasts(short, axis),
    ...unseen.map(
      (dial) => `${dial === 'rapid' ? 'the rapid traverse' : `dial ${writeDial(dial, axis)}`} has no coast`,
    ),
  ]
  throw new DataError(
    'too-few-coasts',
    missing.length === 0
      ? `No coast has been recorded${direction === null ? '' : ' in this direction'} yet.`
      : `No limit can be given: ${missing.join('; ')}.`,
    sentence`Record at least ${COASTS_FOR_BOUND} traverses for each setting and direction, by readout${way('traverse-by-readout')}, each until the table rests.`,
  )
}

/** Settings named one by one before they are only counted. Judgement: a sentence that is read at a glance. */
const MOST_NAMED = 3

function tooFewCoasts(short: readonly CoastBound[], axis: Axis): string[] {
  if (short.length <= MOST_NAMED) {
    return short.map(
      (one) => `${nameOf(one, axis)} has ${one.coasts} of the ${COASTS_FOR_BOUND} coasts needed`,
    )
  }
  const best = short.reduce((most, one) => (one.coasts > most.coasts ? one : most))
  return [
    `none of these ${short.length} settings has the ${COASTS_FOR_BOUND} coasts needed; ${nameOf(best, axis)} has ${best.coasts}`,
  ]
}

function nameOf({ dial, direction }: CoastBound, axis: Axis): string {
  const sign = directionSign(direction)
  return dial === 'rapid'
    ? `the rapid traverse in direction ${sign}`
    : `dial ${writeDial(dial, axis)} in direction ${sign}`
}
