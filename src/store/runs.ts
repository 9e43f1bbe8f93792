import type { DialSetting, Evidence, Run, RunFilter, RunJudgement } from './entities.js'

export declare class Runs {
  /** Keeps the runs found in a recording, in order; axis, source, dial reset, tags and note are the recording's. */
  add(recordingId: string, dial: DialSetting, judgements: readonly RunJudgement[], nowIso: string): Run[]
  /** @throws UsageError `unknown-run` */
  get(runId: string): Run
  /** Runs of an axis in the order they were made, dropped and rejected ones included. */
  list(axisId: number, filter?: RunFilter): Run[]
  ofRecording(recordingId: string): Run[]
  /** Leaves a run out of later fits by the user's wish; `keep` takes it back. */
  drop(runId: string, reason: string, nowIso: string): Run
  keep(runId: string, nowIso: string): Run
  /** Puts a new judgement of the same raw data in place; the id stays and the old judgement goes to the change log. */
  replaceJudgement(runId: string, judgement: RunJudgement, nowIso: string): Run
  /** The runs a fit may use, and those it may not with the reason. Runs outside the filter are not mentioned. */
  evidenceFor(axisId: number, filter?: RunFilter): Evidence
}
