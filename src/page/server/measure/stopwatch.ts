import { UsageError } from '../../../errors/index.js'
import { clockAgreement, clockOffset, monotonicS } from '../../../ingest/index.js'
import {
  checkDial,
  pressedEntry,
  recordStopwatchTakes,
  type TakeConditions,
  timingOf,
} from '../../../jobs/index.js'
import type { Axis, Store } from '../../../store/index.js'
import { formatLength, type LengthUnit } from '../../../units/index.js'
import { marksBeyond } from '../../../words/index.js'
import type { ClockAnswer, StopwatchRequest, TakeAnswer } from '../../api.js'
import { nowIso } from '../desk.js'
import { keepForStep } from './kept-for-step.js'
import { pageRun } from './page-run.js'
import type { SessionDesk } from './session-desk.js'

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
  const { distanceMm, durationS, direction, marksS, everyMm = null } = request
  const { before, after } = request.clock
  const clock = clockAgreement(durationS, clockOffset(before), clockOffset(after))
  const pressed = { dial, direction, distanceMm, durationS, marksS, everyMm, clock }
  const entry = pressedEntry(pressed)
  const take = { dial, origin, entry, note: null }
  const person = request.person === '' ? undefined : request.person
  const { timing } = timingOf(store, person)
  const conditions: TakeConditions = {
    ...{ dialReset: true, note: null, startedAt: madeAtHere(request) },
    tags: { ...request.tags, ...(person === undefined ? {} : { person }) },
    ...(timing === null ? {} : { timing }),
    ...(request.check === true ? { check: true } : {}),
  }
  const answer = await keepForStep(sessions, {
    ...{ axis, madeFor: request.step, dial, direction, conditions },
    record: (all) => recordStopwatchTakes(store, axis, [take], all)[0]!,
  })
  return { ...answer, note: answer.note ?? marksBeyond(pressed, axis.unit) }
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

/** When a timing was made, by this computer's calendar: the phone's may be wrong, and tells only how long it waited there. */
function madeAtHere({ madeAt, sentAt }: StopwatchRequest): string {
  const waitedMs = (sentAt === undefined ? Date.now() : Date.parse(sentAt)) - Date.parse(madeAt)
  const isPlausible = waitedMs >= 0 && waitedMs <= LONGEST_WAIT_DAYS * 86_400_000
  return isPlausible ? new Date(Date.now() - waitedMs).toISOString() : nowIso()
}
