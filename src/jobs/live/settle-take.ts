import type { Axis, Run, Store } from '../../store/index.js'
import { cutOffToldBy } from '../../traverse/index.js'
import type { TakeOutcome } from '../record/takes.js'
import type { Ending, LiveEvent } from './live-events.js'
import type { UnderWay } from './live-work.js'
import { LEFT_WHILE_MOVING, LOST_WHILE_MOVING, leaveOutPieces, leaveOutShort } from './runs-that-count.js'

/** A live recording that came to its end. */
interface Taken {
  readonly judged: TakeOutcome<Run>
  readonly ending: Ending
  /** The table was not seen to come to rest. */
  readonly cutAtEnd: boolean
}

/**
 * Decides what of a recording counts, the same for every face, and settles the step that it was made for.
 *
 * @returns what is to be told; null for a step at which the table never moved and nobody waits for news
 */
export function settleTake(
  at: { readonly store: Store; readonly axis: Axis; readonly nowIso: string },
  { work, step, afterLoss }: UnderWay,
  { judged, ending, cutAtEnd }: Taken,
): LiveEvent | null {
  const { store, axis, nowIso } = at
  const cut = {
    atStart: afterLoss && beganMoving(judged.runs[0]) ? LOST_WHILE_MOVING : null,
    atEnd: cutAtEnd ? whyLeftOut(ending, work.kind === 'steps') : null,
  }
  const whole = leaveOutPieces(store, judged, cut, nowIso)
  if (work.kind !== 'steps' || step === null) return { kind: 'judged', outcome: whole, ending }
  const { session, procedure } = work
  const long = leaveOutShort(store, whole, { procedure, axis }, nowIso)
  if (ending !== 'at-rest' && long.runs.length === 0) return null
  const result = session.settle(step, long, nowIso)
  // Settling leaves out the runs of the other direction; what is told of a run now is not all stored with it.
  const runs = long.runs.map(({ id, warnings }) => ({ ...store.runs.get(id), warnings }))
  const outcome = { ...long, runs }
  return { kind: result.run === null ? 'step-open' : 'step-settled', outcome, result }
}

/** A person who ends a single recording while the table moves wants what there is; a step asks for a whole traverse. */
function whyLeftOut(ending: Ending, ofStep: boolean): string | null {
  if (ending === 'lost') return LOST_WHILE_MOVING
  return ending === 'ended' && ofStep ? LEFT_WHILE_MOVING : null
}

/** Whether the table was moving already when the recording of this run, its first, began. */
function beganMoving(run: Run | undefined): boolean {
  return run !== undefined && cutOffToldBy(run.warnings).includes('began-moving')
}
