import { clockAgreement, clockOffset, monotonicS } from '../../ingest/index.js'
import {
  checkDial,
  recordStopwatchTakes,
  type StopwatchMarks,
  type TakeConditions,
  type TakeOutcome,
  timingOf,
} from '../../jobs/index.js'
import type { Run, Store } from '../../store/index.js'
import type { ClockAnswer, StopwatchRequest, TakeAnswer } from '../api.js'
import { pageRun, stepAnswer, takeAnswer } from './page-run.js'
import { type SessionDesk, sessionTags } from './session-desk.js'

/** A timing that waited on a phone is dated by it, as far as that makes sense, days. */
const LONGEST_WAIT_DAYS = 30

/** Answers an exchange of clocks at once. */
export function tellClock(): ClockAnswer {
  const receivedS = monotonicS()
  return { receivedS, sentS: monotonicS() }
}

/**
 * Keeps a timing that was made on the page. A timing that comes twice, because its first answer was lost, is kept once:
 * the store remembers by whom and as which it was made, also past a restart.
 *
 * @throws UsageError as `checkDial` does; `no-session`
 */
export async function keepTiming(
  store: Store,
  sessions: SessionDesk,
  request: StopwatchRequest,
): Promise<TakeAnswer> {
  const axis = store.axes.byId(request.axisId)
  const origin = `stopwatch page ${request.clientId} ${request.sequence}`
  const kept = store.recordings.list(axis.id).find((recording) => recording.origin === origin)
  if (kept !== undefined) {
    const runs = store.runs.ofRecording(kept.id).map(pageRun)
    return { dial: request.dial, runs, problem: runs[0]?.rejection ?? null }
  }
  const dial = checkDial(axis, request.dial)
  const { distanceMm, durationS, direction } = request
  const take = {
    dial,
    origin,
    entry: { distanceMm, durationS, direction, marks: marksOf(request) },
    note: null,
  }
  const person = request.person === '' ? undefined : request.person
  const { timing } = timingOf(store, person)
  const conditions: TakeConditions = {
    ...{ dialReset: true, note: null, startedAt: plausibleDate(request.madeAt) },
    tags: { ...request.tags, ...(person === undefined ? {} : { person }) },
    ...(timing === null ? {} : { timing }),
  }
  const open = request.inSession ? await sessions.required(axis) : null
  const step = open?.session.next() ?? null
  if (open === null || step === null || step.dial !== dial || step.direction !== direction) {
    return takeAnswer(recordStopwatchTakes(store, axis, [take], conditions)[0]!)
  }
  const inStep = open.session.conditions(step, {
    ...conditions,
    tags: { ...conditions.tags, ...sessionTags(open) },
  })
  const outcome: TakeOutcome<Run> = recordStopwatchTakes(store, axis, [take], inStep)[0]!
  return stepAnswer(outcome, open.session.settle(step, outcome, new Date().toISOString()))
}

function marksOf({ marksS, durationS, clock }: StopwatchRequest): StopwatchMarks | null {
  const agreement = clockAgreement(durationS, clockOffset(clock.before), clockOffset(clock.after))
  if (agreement === null && marksS.length === 0) return null
  return { atS: marksS, everyMm: null, ...(agreement === null ? {} : { clock: agreement }) }
}

function plausibleDate(madeAt: string): string {
  const ageDays = (Date.now() - Date.parse(madeAt)) / 86_400_000
  return ageDays >= 0 && ageDays <= LONGEST_WAIT_DAYS
    ? new Date(madeAt).toISOString()
    : new Date().toISOString()
}
