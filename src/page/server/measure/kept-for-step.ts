import type { TakeConditions, TakeOutcome } from '../../../jobs/index.js'
import type { PlanStep } from '../../../planning/index.js'
import type { Axis, DialSetting, Run } from '../../../store/index.js'
import type { Direction } from '../../../traverse/index.js'
import { formatDial, printedSign } from '../../../units/index.js'
import type { TakeAnswer } from '../../api.js'
import { nowIso } from '../desk.js'
import { stepAnswer, takeAnswer } from './page-run.js'
import { type OpenSession, type SessionDesk, sessionTags } from './session-desk.js'

/** A run as the page sends it: what it was made for, and how it is kept. */
interface SentRun {
  readonly axis: Axis
  /** The step that it was begun for, wherever the session has gone since; null for a run of its own. */
  readonly madeFor: { readonly sessionId: number; readonly step: number } | null
  readonly dial: DialSetting
  /** Left out where the run tells it and no step asks for one. */
  readonly direction: Direction | null
  readonly conditions: TakeConditions
  readonly record: (conditions: TakeConditions) => TakeOutcome<Run> | Promise<TakeOutcome<Run>>
  /** Leaves runs out that do not count, before the step is settled. */
  readonly leaveOut?: (outcome: TakeOutcome<Run>, open: OpenSession | null) => TakeOutcome<Run>
}

/**
 * Keeps a run that was made on the page, and settles the step that it was made for.
 *
 * @throws UsageError as `SessionDesk.begunFor` does
 */
export async function keepForStep(sessions: SessionDesk, sent: SentRun): Promise<TakeAnswer> {
  const { axis, madeFor, dial, direction, conditions, record, leaveOut = (outcome) => outcome } = sent
  const begun =
    madeFor === null || direction === null
      ? null
      : await sessions.begunFor(axis, madeFor, { dial, direction })
  if (begun === null || begun.step === null) return takeAnswer(leaveOut(await record(conditions), null))
  const { session, step } = begun
  const again = session.doneSteps.includes(step.step)
  const tags = { ...conditions.tags, ...sessionTags(begun) }
  const outcome = leaveOut(await record(session.conditions(step, { ...conditions, tags })), begun)
  const answer = stepAnswer(outcome, session.settle(step, outcome, nowIso()))
  return again ? { ...answer, note: timedBefore(step, axis) } : answer
}

function timedBefore({ step, dial, direction }: PlanStep, axis: Axis): string {
  return `Run ${step} had been timed already, on another page or by a second press. This timing counts as one more run at dial ${formatDial(dial, axis)} ${printedSign(direction)}.`
}
