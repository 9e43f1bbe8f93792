import type { RunEvidence } from '../regression/index.js'
import type { Evidence, LeftOutRun, Run } from './measurement-types.js'

/** Parts runs into those a fit may use and those it may not; `dial` is the range of the axis' dial. */
export function sortEvidence(
  runs: readonly Run[],
  dial: { readonly low: number; readonly high: number },
): Evidence {
  const evidence: RunEvidence[] = []
  const leftOut: LeftOutRun[] = []
  let before: { readonly run: Run; readonly setting: string } | null = null
  for (const run of runs) {
    // A dropped or rejected run still tells that the dial was not touched since.
    const setting: string = before !== null && untouchedSince(before.run, run) ? before.setting : run.id
    before = { run, setting }
    const found = asEvidence(run, dial)
    if ('code' in found) leftOut.push(found)
    else evidence.push({ ...found, setting })
  }
  return { evidence, leftOut }
}

/** Whether two runs made one after the other were made at one setting of the dial. */
function untouchedSince(before: Run, run: Run): boolean {
  if (before.dial !== run.dial) return false
  return before.recordingId === run.recordingId || !run.dialReset
}

function asEvidence(
  run: Run,
  dial: { readonly low: number; readonly high: number },
): RunEvidence | LeftOutRun {
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
      message: `Dial ${run.dial} lies outside the axis' dial, which goes from ${dial.low} to ${dial.high}.`,
    }
  }
  return {
    runId: run.id,
    dial: run.dial,
    direction: run.direction,
    feedMmPerMin: run.feed.feedMmPerMin,
    standardUncertaintyMmPerMin: run.feed.standardUncertaintyMmPerMin,
    source: run.source,
  }
}
