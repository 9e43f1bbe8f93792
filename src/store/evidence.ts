import type { RunEvidence } from '../regression/index.js'
import { type DialWriting, writeDial } from '../units/index.js'
import type { Evidence, LeftOutRun, Run } from './measurement-types.js'
import { isCutting } from './run-load.js'

/** The dial of an axis: its ends, and how its settings are written. */
interface DialRange extends DialWriting {
  readonly low: number
  readonly high: number
}

/**
 * Parts runs into those a fit may use and those it may not; `dial` is the range of the axis' dial.
 *
 * @param cutting what becomes of runs made under cut, which feed slower than free ones
 * @param checks what becomes of check runs, which tell of their session and make no mark
 */
export function sortEvidence(
  runs: readonly Run[],
  dial: DialRange,
  cutting: 'use' | 'leave-out' = 'use',
  checks: 'use' | 'leave-out' = 'leave-out',
): Evidence {
  const timeOf = timesOf(runs)
  const travels = turnedRecordings(runs)
  const evidence: RunEvidence[] = []
  const leftOut: LeftOutRun[] = []
  let before: { readonly run: Run; readonly setting: string } | null = null
  for (const run of runs) {
    // A dropped or rejected run still tells that the dial was not touched since.
    const setting: string = before !== null && untouchedSince(before.run, run) ? before.setting : run.id
    before = { run, setting }
    const found = judged(run, dial, { cutting, checks })
    if ('code' in found) leftOut.push(found)
    else {
      const timeS = timeOf(run)
      const travel = travels.has(run.recordingId) ? { travel: run.recordingId } : {}
      evidence.push({
        ...{ ...found, setting, session: run.sessionName, ...travel },
        ...(timeS === null ? {} : { timeS }),
      })
    }
  }
  return { evidence, leftOut }
}

/** Recordings in which the dial was turned from setting to setting. */
function turnedRecordings(runs: readonly Run[]): ReadonlySet<string> {
  const first = new Map<string, Run['dial']>()
  const turned = new Set<string>()
  for (const { recordingId, dial } of runs) {
    if (first.has(recordingId) && first.get(recordingId) !== dial) turned.add(recordingId)
    first.set(recordingId, dial)
  }
  return turned
}

function judged(
  run: Run,
  dial: DialRange,
  { cutting, checks }: { readonly cutting: 'use' | 'leave-out'; readonly checks: 'use' | 'leave-out' },
): RunEvidence | LeftOutRun {
  if (cutting === 'leave-out' && isCutting(run)) return leftOutCutting(run)
  if (checks === 'leave-out' && run.check) return leftOutCheck(run)
  return asEvidence(run, dial)
}

/** Times of recordings that count from 1970 and not from when a clock was switched on lie beyond this, s: 2001. */
const COUNTS_FROM_1970_S = 1e9

/**
 * When each run was made, s since 1970. A recording whose lines carry that time says so itself; of one that was made
 * live its beginning is known, and how long after its first traverse the others came. Null for any other: when a file
 * was read in says nothing.
 */
function timesOf(runs: readonly Run[]): (run: Run) => number | null {
  const firstStartS = new Map<string, number>()
  for (const { recordingId, window } of runs) {
    if (window === null) continue
    firstStartS.set(recordingId, Math.min(window.startS, firstStartS.get(recordingId) ?? window.startS))
  }
  return ({ recordingId, recordedLiveAt, window }) => {
    if (window !== null && window.startS > COUNTS_FROM_1970_S) return window.startS
    if (recordedLiveAt === null) return null
    const afterFirstS = window === null ? 0 : window.startS - firstStartS.get(recordingId)!
    return Date.parse(recordedLiveAt) / 1000 + afterFirstS
  }
}

/** Whether two runs made one after the other were made at one setting of the dial. */
function untouchedSince(before: Run, run: Run): boolean {
  if (before.dial !== run.dial) return false
  return before.recordingId === run.recordingId || !run.dialReset
}

function leftOutCutting({ id }: Run): LeftOutRun {
  return {
    runId: id,
    code: 'cutting',
    message: 'Made while cutting (load=cutting), which feeds slower than running free.',
  }
}

function leftOutCheck({ id, sessionName }: Run): LeftOutRun {
  return {
    runId: id,
    code: 'check',
    message: `A check run: it tells how the machine feeds in session ${sessionName} and makes no mark.`,
  }
}

function asEvidence(run: Run, dial: DialRange): RunEvidence | LeftOutRun {
  if (run.droppedAt !== null) {
    return { runId: run.id, code: 'dropped', message: `Dropped: ${run.dropReason ?? 'no reason given'}.` }
  }
  if (run.rejection !== null || run.feed === null) {
    return { runId: run.id, code: 'rejected', message: run.rejection?.message ?? 'It gave no feed.' }
  }
  if (run.dial === 'rapid') {
    return { runId: run.id, code: 'rapid', message: 'A rapid traverse stays out of the dial curve.' }
  }
  if (run.dial < dial.low || run.dial > dial.high) {
    return {
      runId: run.id,
      code: 'outside-dial',
      message: `Dial ${writeDial(run.dial, dial)} lies outside the axis' dial, which goes from ${writeDial(dial.low, dial)} to ${writeDial(dial.high, dial)}.`,
    }
  }
  return {
    runId: run.id,
    dial: run.dial,
    direction: run.direction,
    feedMmPerMin: run.feed.feedMmPerMin,
    standardUncertaintyMmPerMin: run.feed.standardUncertaintyMmPerMin,
    source: run.source,
    ...(run.source === 'stopwatch'
      ? { entry: { distanceMm: run.distanceMm, durationS: run.durationS } }
      : {}),
  }
}
