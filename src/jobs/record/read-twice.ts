import { type Axis, isCounting, type Recording, type Run, type Store } from '../../store/index.js'
import { shortId } from '../../text/index.js'
import { writeDial } from '../../units/index.js'
import type { TakeOutcome } from './takes.js'

/** Code of the warning on a run that holds the same data as an earlier one. */
export const READ_TWICE = 'read-twice'

/**
 * Entries in common below which the same times may come by chance. Judgement: of hundredths of a second three do
 * not.
 */
const FEWEST_OF_A_SHEET = 3

/**
 * Leaves out runs of readout recordings that are in the store already: the same lines at the same distances in time, for
 * the same setting. They are kept, so that nothing is lost where they are runs of their own after all.
 */
export function leaveOutTwins(
  store: Store,
  axis: Axis,
  outcomes: readonly TakeOutcome<Run>[],
  nowIso: string,
): TakeOutcome<Run>[] {
  return outcomes.map((outcome) => {
    const twin = outcome.recordingId === null ? null : store.recordings.twin(outcome.recordingId)
    if (twin === null || outcome.runs.length === 0) return outcome
    const [earlier] = store.runs.ofRecording(twin)
    const at = outcome.dials === undefined ? ` at dial ${writeDial(outcome.dial, axis)}` : ''
    const what = `This recording${at} is in the store already${earlier === undefined ? '' : `, as run ${shortId(earlier.id)}`}; it does not count again.`
    return leftOut(store, outcome, what, nowIso)
  })
}

/**
 * Leaves out entries of a stopwatch sheet that was read in before, whole or in part: entries that follow one another as
 * those of the earlier reading do. So a sheet that was carried on can be read again, and only its new rows count.
 */
export function leaveOutSheetTwins(
  store: Store,
  axis: Axis,
  outcomes: readonly TakeOutcome<Run>[],
  nowIso: string,
): TakeOutcome<Run>[] {
  const own = new Set(outcomes.map(({ recordingId }) => recordingId))
  const before = store.recordings
    .list(axis.id)
    .filter((one) => one.source === 'stopwatch' && !own.has(one.id))
  const keys = outcomes.map(({ recordingId }) => entryKey(store, store.recordings.get(recordingId!)))
  const again = new Set(readingsOf(store, before).flatMap((reading) => readAgain(keys, reading)))
  if (again.size === 0) return [...outcomes]
  const count =
    again.size === outcomes.length ? `All ${again.size}` : `${again.size} of the ${outcomes.length}`
  const what = `${count} entries of this sheet are in the store already, from a sheet read in before; they do not count again.`
  return outcomes.map((outcome, index) =>
    again.has(index) ? leftOut(store, outcome, what, nowIso) : { ...outcome, conclusions: [what] },
  )
}

function leftOut(store: Store, outcome: TakeOutcome<Run>, what: string, nowIso: string): TakeOutcome<Run> {
  const runs = outcome.runs.map((run) => ({
    ...store.runs.drop(run.id, 'read in twice', nowIso),
    warnings: [...run.warnings, { code: READ_TWICE, message: what }],
  }))
  return { ...outcome, runs, conclusions: [...outcome.conclusions, what] }
}

/** What makes two entries the same. */
function entryKey(store: Store, { id, dial }: Recording): string {
  const entry = store.recordings.stopwatchEntry(id)
  return `${dial} ${entry?.direction} ${entry?.distanceMm} ${entry?.durationS}`
}

/** Entries that came into the store together, in order, where one of them still counts. */
function readingsOf(store: Store, recordings: readonly Recording[]): string[][] {
  const readings = new Map<string, Recording[]>()
  for (const recording of recordings) {
    readings.set(recording.startedAt, [...(readings.get(recording.startedAt) ?? []), recording])
  }
  return [...readings.values()]
    .filter((reading) => reading.length >= FEWEST_OF_A_SHEET)
    .filter((reading) => reading.some(({ id }) => store.runs.ofRecording(id).some(isCounting)))
    .map((reading) => reading.map((recording) => entryKey(store, recording)))
}

/** Indices of the entries that are an earlier reading once more: all of it among them in order, or all of them in it. */
function readAgain(keys: readonly string[], reading: readonly string[]): number[] {
  const places = placesInOrder(reading, keys)
  if (places !== null) return places
  const within = keys.length >= FEWEST_OF_A_SHEET && placesInOrder(keys, reading) !== null
  return within ? [...keys.keys()] : []
}

/** Where each of `some` stands in `all`, in the same order; null where one is missing. */
function placesInOrder(some: readonly string[], all: readonly string[]): number[] | null {
  const places: number[] = []
  for (const key of some) {
    const place = all.indexOf(key, (places.at(-1) ?? -1) + 1)
    if (place === -1) return null
    places.push(place)
  }
  return places
}
