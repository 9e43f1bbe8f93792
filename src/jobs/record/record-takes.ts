import { TablepaceError } from '../../errors/index.js'
import { type IngestedSamples, ingestLines, type StampedLine } from '../../ingest/index.js'
import type {
  Axis,
  DialSetting,
  NewRecording,
  Run,
  RunJudgement,
  StopwatchRecord,
  Store,
} from '../../store/index.js'
import { asWriter } from '../care/store-writer.js'
import {
  ingestOptions,
  type ReadoutSettings,
  settingsOf,
  storedSettings,
} from '../readout/readout-settings.js'
import { withOddRunsTold } from '../tables/odd-run-check.js'
import { checkTakes, howRead, limitsOf, type UncheckedTake, uncheckedEntry } from './check-takes.js'
import { type JudgedTraverse, judgeReadoutTakes, type TakenSamples } from './judge-takes.js'
import { type KnownAxis, knownAxis } from './known-feeds.js'
import type { PressTiming } from './person-timing.js'
import { leaveOutSheetTwins, leaveOutTwins } from './read-twice.js'
import { dialsOf, levelsDiffer } from './turned-takes.js'

/** Conditions that go with every take of one call. */
export interface TakeConditions {
  readonly dialReset: boolean
  readonly tags: Readonly<Record<string, string>>
  readonly note: string | null
  readonly startedAt: string
  readonly session?: { readonly id: number; readonly step: number }
  /** The measuring session by the name that the user gave; left out, the date tells it. */
  readonly sessionName?: string
  /** Check runs: they tell of their session alone and make no mark. */
  readonly check?: boolean
  /** How sure stopwatch presses are; left out for the published spread. */
  readonly timing?: PressTiming
}

/** Lines of a readout at one dial setting, or at those that its settings name one after the other, from a file or a port. */
export interface ReadoutTake {
  /** The first setting where there are several. */
  readonly dial: DialSetting
  readonly origin: string
  readonly settings: ReadoutSettings
  readonly lines: AsyncIterable<StampedLine> | Iterable<StampedLine>
}

/** One stopwatch entry at one dial setting. */
export interface StopwatchTake {
  readonly dial: DialSetting
  readonly origin: string
  readonly entry: StopwatchRecord
  readonly note: string | null
}

/** What one take came to: its runs, or why it gave none. */
export interface TakeOutcome<R> {
  readonly dial: DialSetting
  readonly origin: string
  /** Where the raw data lie in the store; null where nothing is stored. */
  readonly recordingId: string | null
  readonly runs: readonly R[]
  /** The dial setting of each run, where the dial was turned on the way. */
  readonly dials?: readonly DialSetting[]
  readonly failure: TablepaceError | null
  /** What was concluded about the lines. */
  readonly conclusions: readonly string[]
}

/** Lines kept at once. Judgement: about ten seconds of a fast readout. */
const LINES_A_CHUNK = 500

/**
 * Keeps the lines of several recordings and judges them as one session. All raw lines are in the store before the
 * first is judged; a recording that cannot be read says so without harm to the others.
 */
export async function recordReadoutTakes(
  store: Store,
  axis: Axis,
  takes: readonly ReadoutTake[],
  conditions: TakeConditions,
): Promise<TakeOutcome<Run>[]> {
  const recordingIds: string[] = []
  for (const take of takes) {
    const recording = store.recordings.start(asWriter(newRecording(axis, take, conditions), 'import'))
    for await (const chunk of inChunks(take.lines)) store.recordings.appendLines(recording.id, chunk)
    recordingIds.push(recording.id)
  }
  return judgeStoredTakes(store, axis, takes, recordingIds, conditions.startedAt)
}

/**
 * Judges recordings whose lines are in the store, keeps their runs and ends them. A recording ends last, so that one
 * whose judgement was broken off is still known as unfinished.
 */
export function judgeStoredTakes(
  store: Store,
  axis: Axis,
  takes: readonly Omit<ReadoutTake, 'lines'>[],
  recordingIds: readonly string[],
  nowIso: string,
): TakeOutcome<Run>[] {
  const read = takes.map((take, index) =>
    readTake(() => store.recordings.lines(recordingIds[index]!), take.settings, axis),
  )
  const tagsOf = (index: number) => store.recordings.get(recordingIds[index]!).tags
  const timedByClock = read.some(
    (one) => !(one instanceof TablepaceError) && one.samples.deviceTimeS !== null,
  )
  const before = timedByClock ? takesBefore(store, axis, recordingIds[0]!) : []
  const judged = outcomes(store, takes, read, axis, before)
  const kept = held(store, axis, takes, read, judged, tagsOf).map((outcome, index) => {
    const recordingId = recordingIds[index]!
    const dials = outcome.dials ?? outcome.runs.map(() => outcome.dial)
    const runs = outcome.runs.flatMap((run, i) => store.runs.add(recordingId, dials[i]!, [run], nowIso))
    store.recordings.end(recordingId, nowIso)
    return { ...outcome, recordingId, runs }
  })
  return withOddRunsTold(store, axis, leaveOutTwins(store, kept, nowIso))
}

/** Recordings of the same guided session that were made before: they tell about the same clock of the readout. */
function takesBefore(store: Store, axis: Axis, recordingId: string): IngestedSamples[] {
  const { sessionId, startedAt } = store.recordings.get(recordingId)
  if (sessionId === null) return []
  return store.recordings
    .list(axis.id)
    .filter((one) => one.sessionId === sessionId && one.source === 'readout' && one.startedAt < startedAt)
    .filter(({ id }) => store.runs.ofRecording(id).length > 0)
    .map((one) => readTake(() => store.recordings.lines(one.id), settingsOf(one), axis))
    .filter((one): one is IngestedSamples => !(one instanceof TablepaceError))
}

/** Holds what recordings came to against the machine. */
function held(
  store: Store,
  axis: Axis,
  takes: readonly Omit<ReadoutTake, 'lines'>[],
  read: readonly TakeRead[],
  judged: readonly TakeOutcome<JudgedTraverse>[],
  tagsOf: (index: number) => TakeConditions['tags'],
): TakeOutcome<RunJudgement>[] {
  const unchecked = judged.flatMap(({ dial, dials, runs }, index): UncheckedTake[] => {
    const one = read[index]!
    const unitInLines = !(one instanceof TablepaceError) && one.unitInLines
    const how = { ...howRead(takes[index]!.settings, unitInLines), tags: tagsOf(index) }
    if (dials === undefined) return [{ dial, runs, ...how }]
    return runs.map((run, i) => ({ dial: dials[i]!, runs: [run], ...how }))
  })
  const checked = checkTakes(limitsOf(store, axis), knownAxis(store, axis), unchecked)
  return judged.map((outcome) => ({
    ...outcome,
    runs: checked.splice(0, outcome.dials === undefined ? 1 : outcome.runs.length).flat(),
  }))
}

/** Judges recordings without keeping anything. */
export async function tryReadoutTakes(
  store: Store,
  axis: Axis,
  takes: readonly ReadoutTake[],
  { tags }: Pick<TakeConditions, 'tags'>,
): Promise<TakeOutcome<RunJudgement>[]> {
  const read: TakeRead[] = []
  for (const take of takes) {
    const lines: StampedLine[] = []
    for await (const line of take.lines) lines.push(line)
    read.push(readTake(() => lines, take.settings, axis))
  }
  return held(store, axis, takes, read, outcomes(store, takes, read, axis), () => tags)
}

/** Keeps stopwatch entries, each before it is judged. */
export function recordStopwatchTakes(
  store: Store,
  axis: Axis,
  takes: readonly StopwatchTake[],
  conditions: TakeConditions,
): TakeOutcome<Run>[] {
  const known = knownAxis(store, axis)
  const recordings = takes.map((take) =>
    store.recordings.addStopwatch(
      {
        ...commonFields(axis, take, conditions),
        source: 'stopwatch',
        note: take.note ?? conditions.note,
        readout: conditions.timing ?? null,
        units: null,
      },
      take.entry,
    ),
  )
  const judged = judgeEntries(store, axis, known, takes, conditions)
  const outcomes = takes.map(({ dial, origin }, index) => {
    const recordingId = recordings[index]!.id
    const runs = store.runs.add(recordingId, dial, judged[index]!, conditions.startedAt)
    return { dial, origin, recordingId, runs, failure: null, conclusions: [] }
  })
  return withOddRunsTold(store, axis, leaveOutSheetTwins(store, axis, outcomes, conditions.startedAt))
}

/** Judges stopwatch entries without keeping anything. */
export function tryStopwatchTakes(
  store: Store,
  axis: Axis,
  takes: readonly StopwatchTake[],
  conditions: Pick<TakeConditions, 'tags' | 'timing'>,
): TakeOutcome<RunJudgement>[] {
  const judged = judgeEntries(store, axis, knownAxis(store, axis), takes, conditions)
  return takes.map(({ dial, origin }, index) => {
    return { dial, origin, recordingId: null, runs: judged[index]!, failure: null, conclusions: [] }
  })
}

function judgeEntries(
  store: Store,
  axis: Axis,
  known: KnownAxis,
  takes: readonly StopwatchTake[],
  { tags, timing }: Pick<TakeConditions, 'tags' | 'timing'>,
): RunJudgement[][] {
  const unchecked = takes.map(({ dial, entry }) => uncheckedEntry(store, axis, { dial, entry, tags, timing }))
  return checkTakes(limitsOf(store, axis), known, unchecked)
}

/** What a recording that begins now is known by. */
export function newRecording(
  axis: Axis,
  take: Omit<ReadoutTake, 'lines'>,
  conditions: TakeConditions,
): NewRecording {
  return {
    ...commonFields(axis, take, conditions),
    ...(take.settings.turned === undefined ? {} : { dial: null }),
    source: 'readout',
    note: conditions.note,
    ...storedSettings(take.settings),
  }
}

function commonFields(axis: Axis, take: { dial: DialSetting; origin: string }, conditions: TakeConditions) {
  return {
    axisId: axis.id,
    sessionId: conditions.session?.id ?? null,
    step: conditions.session?.step ?? null,
    dial: take.dial,
    dialReset: conditions.dialReset,
    origin: take.origin,
    tags: conditions.tags,
    startedAt: conditions.startedAt,
    ...(conditions.sessionName === undefined ? {} : { sessionName: conditions.sessionName }),
    ...(conditions.check === undefined ? {} : { check: conditions.check }),
  }
}

type TakeRead = TakenSamples | TablepaceError

function readTake(lines: () => Iterable<StampedLine>, settings: ReadoutSettings, axis: Axis): TakeRead {
  try {
    const { turned } = settings
    const samples = ingestLines(lines(), ingestOptions(settings, axis))
    return turned === undefined ? samples : { ...samples, levels: turned.known ?? turned.dials.length }
  } catch (error) {
    if (error instanceof TablepaceError) return error
    throw error
  }
}

function outcomes(
  store: Store,
  takes: readonly Omit<ReadoutTake, 'lines'>[],
  read: readonly TakeRead[],
  axis: Axis,
  before: readonly IngestedSamples[] = [],
): TakeOutcome<JudgedTraverse>[] {
  const sound = read.filter((one): one is TakenSamples => !(one instanceof TablepaceError))
  const judged = judgeReadoutTakes(sound, axis, before)
  return takes.map((take, index) => {
    const one = read[index]!
    const { dial, origin, settings } = take
    if (one instanceof TablepaceError) {
      return { dial, origin, recordingId: null, runs: [], failure: one, conclusions: [] }
    }
    const runs = judged[sound.indexOf(one)]!
    const outcome = { dial, origin, recordingId: null, runs, failure: null, conclusions: one.conclusions }
    if (settings.turned === undefined) return outcome
    const { unit } = store.machines.byId(axis.machineId)
    const failure = levelsDiffer(settings.turned, runs, unit)
    if (failure !== null) return { ...outcome, runs: [], dials: [], failure }
    return { ...outcome, dials: dialsOf(take, runs.length) }
  })
}

async function* inChunks(
  lines: AsyncIterable<StampedLine> | Iterable<StampedLine>,
): AsyncGenerator<readonly StampedLine[]> {
  let chunk: StampedLine[] = []
  for await (const line of lines) {
    chunk.push(line)
    if (chunk.length < LINES_A_CHUNK) continue
    yield chunk
    chunk = []
  }
  if (chunk.length > 0) yield chunk
}
