import type { LiveRecorder, TakeConditions, TakeOutcome } from '../../jobs/index.js'
import type { PlanStep } from '../../planning/index.js'
import type { DialSetting, Run, Store } from '../../store/index.js'
import type { TakeAnswer } from '../api.js'
import { pageRun, takeAnswer } from './page-run.js'
import { type OpenSession, sessionTags } from './session-desk.js'

/** What is being recorded: a run for itself, or a step of the session. */
export type Recording =
  | { readonly kind: 'run'; readonly dial: DialSetting; readonly dialReset: boolean }
  | { readonly kind: 'step'; readonly open: OpenSession; readonly step: PlanStep }

/** A recording that came to its end, and what it came to. */
export interface Ended {
  readonly recording: Recording
  readonly outcome: TakeOutcome<Run>
}

/** Begins a recording with the conditions that go with it. */
export function beginRecording(recorder: LiveRecorder, recording: Recording, nowIso: string): void {
  const isStep = recording.kind === 'step'
  const conditions: TakeConditions = {
    dialReset: isStep ? recording.open.procedure.resetDial : recording.dialReset,
    tags: isStep ? sessionTags(recording.open) : {},
    note: null,
    startedAt: nowIso,
  }
  if (isStep) {
    const { open, step } = recording
    recorder.begin(step.dial, open.session.conditions(step, conditions))
  } else {
    recorder.begin(recording.dial, conditions)
  }
}

/** What a recording came to; a step of a session is settled with it. */
export function settledTake(store: Store, { recording, outcome }: Ended, nowIso: string): TakeAnswer {
  if (recording.kind === 'run') return takeAnswer(outcome)
  const { problem } = recording.open.session.settle(recording.step, outcome, nowIso)
  // Settling may drop runs.
  const runs = outcome.runs.map((run) => pageRun({ ...store.runs.get(run.id), warnings: run.warnings }))
  return { dial: recording.step.dial, runs, problem }
}
