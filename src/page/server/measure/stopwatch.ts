import { UsageError } from '../../../errors/index.js'
import { clockAgreement, clockOffset, monotonicS } from '../../../ingest/index.js'
import {
  checkDial,
  recordStopwatchTakes,
  type StopwatchMarks,
  type TakeConditions,
  type TakeOutcome,
  timingOf,
} from '../../../jobs/index.js'
import type { PlanStep } from '../../../planning/index.js'
import type { Axis, Run, Store } from '../../../store/index.js'
import { formatDial, formatLength, type LengthUnit, printedSign } from '../../../units/index.js'
import type { ClockAnswer, StopwatchRequest, TakeAnswer } from '../../api.js'
import { nowIso } from '../desk.js'
import { pageRun, stepAnswer, takeAnswer } from './page-run.js'
import { type SessionDesk, sessionTags } from './session-desk.js'

/**
 * Days for which a timing that waited on a phone is dated by it. Judgement: an older one comes from a clock that
 * is wrong.
 */
const LONGEST_WAIT_DAYS = 30

/** Answers an exchange of clocks at once. */
export function tellClock(): ClockAnswer {
  const receivedS = monotonicS()
  return { receivedS, sentS: monotonicS() }
}

/**
 * Keeps a timing that was made on the page. A timing that comes twice, because its first answer was lost, is kept once:
 * the store remembers by whom and as which it was made, also past a restart. It belongs to the step that it was begun
 * for, wherever the session has gone since.
 *
 * @throws UsageError as `checkDial` and `SessionDesk.begunFor` do; `bad-distance`, `distance-beyond-travel`
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
    return { dial: request.dial, runs, problem: runs[0]?.rejection ?? null, note: null }
  }
  const dial = checkDial(axis, request.dial)
  checkDistance(axis, request.distanceMm, axis.unit)
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
    ...(request.check === true ? { check: true } : {}),
  }
  const begun =
    request.step === null ? null : await sessions.begunFor(axis, request.step, { dial, direction })
  if (begun === null || begun.step === null) {
    return takeAnswer(recordStopwatchTakes(store, axis, [take], conditions)[0]!)
  }
  const { session, step } = begun
  const again = session.doneSteps.includes(step.step)
  const inStep = session.conditions(step, {
    ...conditions,
    tags: { ...conditions.tags, ...sessionTags(begun) },
  })
  const outcome: TakeOutcome<Run> = recordStopwatchTakes(store, axis, [take], inStep)[0]!
  const answer = stepAnswer(outcome, session.settle(step, outcome, nowIso()))
  return again ? { ...answer, note: timedBefore(step) } : answer
}

function timedBefore({ step, dial, direction }: PlanStep): string {
  return `Run ${step} was timed on another page in the meantime. This timing counts as one more run at dial ${formatDial(dial)} ${printedSign(direction)}.`
}

/** @throws UsageError `bad-distance`, `distance-beyond-travel` */
function checkDistance(axis: Axis, distanceMm: number, unit: LengthUnit): void {
  if (!(distanceMm > 0)) {
    throw new UsageError(
      'bad-distance',
      `${formatLength(distanceMm, unit)} is not a distance between two lines.`,
      'Give the distance that the table went between your two presses.',
    )
  }
  if (distanceMm <= axis.travelMm) return
  throw new UsageError(
    'distance-beyond-travel',
    `${formatLength(distanceMm, unit)} is more than ${axis.name} travels: ${formatLength(axis.travelMm, unit)}.`,
    'Give the distance that the table went between your two presses; where the travel is wrong, change it at "Machine".',
  )
}

function marksOf({ marksS, durationS, clock }: StopwatchRequest): StopwatchMarks | null {
  const agreement = clockAgreement(durationS, clockOffset(clock.before), clockOffset(clock.after))
  if (agreement === null && marksS.length === 0) return null
  return { atS: marksS, everyMm: null, ...(agreement === null ? {} : { clock: agreement }) }
}

function plausibleDate(madeAt: string): string {
  const ageDays = (Date.now() - Date.parse(madeAt)) / 86_400_000
  return ageDays >= 0 && ageDays <= LONGEST_WAIT_DAYS ? new Date(madeAt).toISOString() : nowIso()
}
