import { DataError, TablepaceError } from '../../errors/index.js'
import { type IngestedSamples, ingestLines, type StampedLine } from '../../ingest/index.js'
import type { Axis, Run, RunJudgement, Store } from '../../store/index.js'
import { asWriter } from '../care/store-writer.js'
import { ingestOptions, type ReadoutSettings, settingsOf } from '../readout/readout-settings.js'
import { withOddRunsForeseen, withOddRunsTold } from '../tables/odd-run-check.js'
import { checkTakes, howRead, limitsOf, type UncheckedTake } from './check-takes.js'
import { type JudgedTraverse, judgeReadoutTakes, type TakenSamples } from './judge-takes.js'
import { knownAxis } from './known-feeds.js'
import { newRecording } from './new-recording.js'
import { leaveOutTwins } from './read-twice.js'
import type { ReadoutTake, TakeConditions, TakeOutcome } from './takes.js'
import { dialsOf, levelsDiffer } from './turned-takes.js'

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
  const { startedAt } = conditions
  const whole: { readonly take: ReadoutTake; readonly id: string }[] = []
  const failed = new Map<ReadoutTake, TakeOutcome<Run>>()
  for (const take of takes) {
    const { id } = store.recordings.start(asWriter(newRecording(axis, take, conditions), 'import'))
    try {
      for await (const chunk of inChunks(take.lines)) store.recordings.appendLines(id, chunk)
      whole.push({ take, id })
    } catch (failure) {
      if (!(failure instanceof DataError)) throw failure
      store.recordings.end(id, startedAt)
      const { dial, origin } = take
      failed.set(take, { dial, origin, recordingId: id, runs: [], failure, conclusions: [] })
    }
  }
  const read = whole.map(({ take }) => take)
  const ids = whole.map(({ id }) => id)
  const judged = judgeStoredTakes(store, axis, read, ids, startedAt)
  return takes.map((take) => failed.get(take) ?? judged[read.indexOf(take)]!)
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
  const judged = outcomes(takes, read, axis, before)
  const kept = held(store, axis, takes, read, judged, tagsOf).map((outcome, index) => {
    const recordingId = recordingIds[index]!
    const dials = outcome.dials ?? outcome.runs.map(() => outcome.dial)
    const runs = outcome.runs.flatMap((run, i) => store.runs.add(recordingId, dials[i]!, [run], nowIso))
    store.recordings.end(recordingId, nowIso)
    return { ...outcome, recordingId, runs }
  })
  return withOddRunsTold(store, axis, leaveOutTwins(store, axis, kept, nowIso))
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
  const checked = checkTakes(limitsOf(axis), knownAxis(store, axis), unchecked)
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
  conditions: TakeConditions,
): Promise<TakeOutcome<RunJudgement>[]> {
  const read: TakeRead[] = []
  for (const take of takes) {
    const lines: StampedLine[] = []
    for await (const line of take.lines) lines.push(line)
    read.push(readTake(() => lines, take.settings, axis))
  }
  const judged = held(store, axis, takes, read, outcomes(takes, read, axis), () => conditions.tags)
  return withOddRunsForeseen(store, axis, judged, conditions)
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
    const failure = levelsDiffer(settings.turned, runs, axis)
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
