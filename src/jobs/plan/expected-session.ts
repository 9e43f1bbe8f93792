import { type ExpectedTable, expectedTable } from '../../planning/good-enough/index.js'
import { type Procedure, planSession } from '../../planning/index.js'
import type { Axis, Store } from '../../store/index.js'
import { withoutOtherStates } from '../tables/machine-state.js'
import { minutesAt } from './session-pace.js'

/** What a procedure takes and gives, before its first run. */
export interface ExpectedSession extends ExpectedTable {
  readonly runs: number
  readonly minutes: number
}

/**
 * How many runs a procedure asks for on an axis, how long they take, and how well its table is likely to be known.
 *
 * @throws UsageError as `planSession` does
 */
export function expectedSession(store: Store, axis: Axis, procedure: Procedure): ExpectedSession {
  const { steps } = planSession(procedure, axis)
  const { evidence } = withoutOtherStates(store, axis, store.runs.evidenceFor(axis.id))
  const dials = [...new Set(steps.map(({ dial }) => dial))]
  return {
    ...expectedTable(axis, dials, procedure.passes.length, evidence),
    runs: steps.length,
    minutes: minutesAt(store, axis, steps, procedure),
  }
}
