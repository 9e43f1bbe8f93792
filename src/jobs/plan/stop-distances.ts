import { DataError } from '../../errors/index.js'
import {
  COASTS_FOR_BOUND,
  type CoastBound,
  coastBounds,
  type RecordedCoast,
} from '../../planning/stops/index.js'
import { type Axis, type DialSetting, isCutting, type Run, type Store } from '../../store/index.js'
import type { Direction } from '../../traverse/index.js'

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
}

/** How far short of the hard end the limit stop must trip. */
export interface StopDistances {
  readonly coasts: readonly BoundedCoast[]
  /** The farthest of the bounds with the margin, mm. */
  readonly setStopShortMm: number
  readonly farthest: BoundedCoast
  /** Settings with coasts that are too few for a bound. */
  readonly tooFew: readonly CoastBound[]
  /** Whether the rapid traverse is among the settings. */
  readonly coversRapid: boolean
  /** Settings whose dial was not set anew between the coasts, so that setting it again does not show in them. */
  readonly notSetAnew: readonly BoundedCoast[]
}

/**
 * Bounds on the coast of the settings asked for, from the accepted readout runs of an axis; runs under cut are left
 * out, since a cut brakes the table.
 *
 * @throws DataError `too-few-coasts` naming what is missing, where a setting asked for has no bound or none has
 */
export function stopDistances(store: Store, axis: Axis, asked: AskedStops): StopDistances {
  const runs = store.runs
    .list(axis.id, asked.direction === null ? {} : { direction: asked.direction })
    .filter((run) => run.accepted && run.droppedAt === null && !isCutting(run))
    .filter((run) => asked.dials === null || asked.dials.includes(run.dial))
  const bounds = coastBounds(runs.flatMap(coastOf))
  const coasts = bounds.filter((bound): bound is BoundedCoast => bound.upper95Mm !== null)
  const tooFew = bounds.filter((bound) => bound.upper95Mm === null)
  refuseMissing(asked, coasts, tooFew)
  const farthest = coasts.reduce((most, one) => (one.upper95Mm > most.upper95Mm ? one : most))
  return {
    coasts,
    setStopShortMm: farthest.upper95Mm + asked.marginMm,
    farthest,
    tooFew,
    coversRapid: coasts.some((one) => one.dial === 'rapid'),
    notSetAnew: axis.stepped || axis.dialClicks ? [] : coasts.filter((one) => oneSetting(runs, one)),
  }
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
  { dials, direction }: AskedStops,
  coasts: readonly CoastBound[],
  tooFew: readonly CoastBound[],
): void {
  const without = (dials ?? []).filter((dial) => !coasts.some((one) => one.dial === dial))
  const short = dials === null && coasts.length > 0 ? [] : tooFew
  if (without.length === 0 && short.length === 0 && coasts.length > 0) return
  const unseen = without.filter((dial) => !tooFew.some((one) => one.dial === dial))
  const missing = [
    ...short.map((one) => `${nameOf(one)} has ${one.coasts} of the ${COASTS_FOR_BOUND} coasts a bound needs`),
    ...unseen.map((dial) => `${dial === 'rapid' ? 'the rapid traverse' : `dial ${dial}`} has no coast`),
  ]
  throw new DataError(
    'too-few-coasts',
    missing.length === 0
      ? `No coast has been recorded${direction === null ? '' : ' in this direction'} yet.`
      : `No bound: ${missing.join('; ')}.`,
    `Record at least ${COASTS_FOR_BOUND} traverses a setting and direction with a readout, to the rest of the table: tablepace traverse --dial D --port PATH`,
  )
}

function nameOf({ dial, direction }: CoastBound): string {
  const sign = direction === 1 ? '+' : '-'
  return dial === 'rapid' ? `the rapid traverse in direction ${sign}` : `dial ${dial} in direction ${sign}`
}
