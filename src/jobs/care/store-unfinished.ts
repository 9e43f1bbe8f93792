import { type Said, sentence, way } from '../../errors/index.js'
import type { Axis, Recording, Run, Store } from '../../store/index.js'
import { cutOffToldBy } from '../../traverse/index.js'
import { LEFT_WHILE_MOVING, leaveOutPieces } from '../live/runs-that-count.js'
import { settingsOf } from '../readout/readout-settings.js'
import { judgeStoredTakes } from '../record/record-takes.js'
import type { TakeOutcome } from '../record/takes.js'
import { isBeingWritten, writerKind } from './store-writer.js'

/** What became of recordings that were broken off. */
interface FinishedRecordings {
  /** Live recordings, judged by what was saved of them. */
  readonly judged: readonly TakeOutcome<Run>[]
  /** Files whose reading was broken off; nothing of them counts, they can be read again whole. */
  readonly readAgain: readonly string[]
  /** Recordings that held nothing to judge. */
  readonly empty: number
}

/** Recordings of an axis that were never ended and that no running program writes. */
export function brokenOff(store: Store, axis: Axis): Recording[] {
  return store.recordings.unfinished(axis.id).filter((recording) => !isBeingWritten(recording))
}

/** One sentence for the user where recordings were broken off, else null. */
export function brokenOffNotice(store: Store, axis: Axis): Said | null {
  const count = brokenOff(store, axis).length
  if (count === 0) return null
  const which = count === 1 ? 'A recording was' : `${count} recordings were`
  return sentence`${which} broken off and not judged yet. Judge what was saved${way('finish-runs', null)}.`
}

/**
 * Ends the recordings that were broken off: live ones are judged by what was saved, as far as they were not yet;
 * files half read are put aside, since reading them again gives the whole.
 */
export function finishBrokenOff(store: Store, axis: Axis, nowIso: string): FinishedRecordings {
  const judged: TakeOutcome<Run>[] = []
  const readAgain: string[] = []
  let empty = 0
  for (const recording of brokenOff(store, axis)) {
    const { id, dial, origin } = recording
    const hasLines = !store.recordings.lines(id).next().done
    const isJudged = store.runs.ofRecording(id).length > 0
    const { turned } = settingsOf(recording)
    const first = turned?.dials[0] ?? dial
    if (hasLines && !isJudged && first !== null && writerKind(recording) === 'live') {
      const take = { dial: first, origin, settings: settingsOf(recording) }
      const outcomes = judgeStoredTakes(store, axis, [take], [id], nowIso)
      judged.push(...outcomes.map((outcome) => wholeForStep(store, recording, outcome, nowIso)))
      continue
    }
    store.recordings.end(id, nowIso)
    if (isJudged) continue
    if (writerKind(recording) === 'import') readAgain.push(origin)
    else empty += 1
  }
  return { judged, readAgain: [...new Set(readAgain)], empty }
}

/** A step of a guided session asks for a whole traverse; one that the end of the program cut off does not settle it. */
function wholeForStep(
  store: Store,
  { sessionId }: Recording,
  outcome: TakeOutcome<Run>,
  nowIso: string,
): TakeOutcome<Run> {
  const last = outcome.runs.at(-1)
  if (sessionId === null || last === undefined) return outcome
  if (!cutOffToldBy(last.warnings).includes('ended-moving')) return outcome
  return leaveOutPieces(store, outcome, { atStart: null, atEnd: LEFT_WHILE_MOVING }, nowIso)
}
