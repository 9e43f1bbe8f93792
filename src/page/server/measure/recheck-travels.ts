import { UsageError } from '../../../errors/index.js'
import { type LiveWork, sweepGuidedRecheck } from '../../../jobs/index.js'
import type { Axis, Store } from '../../../store/index.js'
import { type OpenSession, sessionTags } from './session-desk.js'
import { SweepWatch } from './sweep-watch.js'

/**
 * The travels that make the runs which the recheck in progress lacks.
 *
 * @throws UsageError `session-complete` where the session has none
 */
export function recheckTravels(
  store: Store,
  axis: Axis,
  open: OpenSession,
  tags: Readonly<Record<string, string>>,
): { readonly travels: SweepWatch; readonly work: LiveWork } {
  const { session } = open
  const sweeps = session.recheck === null ? null : sweepGuidedRecheck(store, axis, session)
  if (sweeps === null || sweeps.missing === 0) {
    throw new UsageError(
      'session-complete',
      'The session in progress has no runs to make with the knob turned on the way.',
      'Judge the runs of the recheck, or make its runs one by one.',
    )
  }
  const travels = SweepWatch.ofRecheck(axis, sweeps)
  const conditions = {
    dialReset: true,
    tags: { ...tags, ...sessionTags(open) },
    note: null,
    session: { id: session.id, step: null },
  }
  return { travels, work: { kind: 'sweep', sweeps: travels, conditions } }
}
