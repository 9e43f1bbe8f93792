import { expectedSession, type GuidedSession } from '../../jobs/index.js'
import type { Procedure } from '../../planning/index.js'
import type { MachineAxis, Store } from '../../store/index.js'
import { countOf } from '../../text/index.js'
import { standText, widthText } from '../../words/index.js'

/** How many runs are done, and of how many where that is fixed. */
export function doneText(session: GuidedSession): string {
  const done = session.doneSteps.length
  return session.advice === null
    ? `${done} of ${countOf(session.plan.steps.length, 'run')}`
    : countOf(done, 'run')
}

/** Before the first run of a sitting: how many there are to make, how long they take, and what they give. */
export function beforeText(
  session: GuidedSession,
  procedure: Procedure,
  store: Store,
  { axis }: MachineAxis,
): string {
  const { advice } = session
  if (advice !== null) return standText(advice)
  const { total, done, minutesLeft } = session.outlook(procedure)
  const left = `${countOf(total - done, 'run')} to make, about ${countOf(minutesLeft, 'minute')}.`
  return done > 0 ? left : `${left} ${widthText(expectedSession(store, axis, procedure))}`
}
