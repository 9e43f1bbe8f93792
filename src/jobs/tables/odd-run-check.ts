import { axisOddRuns, type TableWarning } from '../../regression/index.js'
import type { Axis, Run, Store } from '../../store/index.js'
import type { TakeOutcome } from '../record/takes.js'
import { dialOf } from './dial-of-axis.js'
import { withoutOtherStates } from './machine-state.js'

/**
 * Compares new runs with the other runs of their axis, as a fit would: one that the others make unlikely carries a
 * warning, and where an earlier run turns out to be odd beside a new one, the take says so.
 */
export function withOddRunsTold(
  store: Store,
  axis: Axis,
  outcomes: readonly TakeOutcome<Run>[],
): TakeOutcome<Run>[] {
  const odd = oddRunsNow(store, axis)
  if (odd.length === 0) return [...outcomes]
  return outcomes.map((outcome) => {
    const runs = outcome.runs.map((run) => told(run, odd))
    const earlier = odd.filter(
      (warning) =>
        warning.dials?.some((dial) => dial === outcome.dial) &&
        !outcomes.some((one) => one.runs.some((run) => warning.runIds?.includes(run.id))),
    )
    const conclusions = earlier.map(({ message }) => `An earlier run is odd. ${message}`)
    return { ...outcome, runs, conclusions: [...outcome.conclusions, ...conclusions] }
  })
}

/** All runs of an axis, those that the others make unlikely with a warning that says so. */
export function runsWithOddTold(store: Store, axis: Axis): Run[] {
  const odd = oddRunsNow(store, axis)
  return store.runs.list(axis.id).map((run) => told(run, odd))
}

function told(run: Run, odd: readonly TableWarning[]): Run {
  const warning = odd.find(({ runIds }) => runIds?.includes(run.id))
  return warning === undefined ? run : { ...run, warnings: [...run.warnings, warning] }
}

/** Runs of an axis that the others make unlikely, of those a fit would take. */
function oddRunsNow(store: Store, axis: Axis): TableWarning[] {
  const { evidence } = withoutOtherStates(store, axis, store.runs.evidenceFor(axis.id))
  const dial = dialOf(axis)
  const asked = JSON.stringify([evidence, dial])
  const known = latest.get(axis.id)
  if (known?.asked === asked) return known.odd
  const odd = axisOddRuns(evidence, dial)
  latest.set(axis.id, { asked, odd })
  return odd
}

/**
 * What was found last, by axis: a page asks again at every change of an axis, most of which change no run, and looking
 * through a calibration takes a tenth of a second.
 */
const latest = new Map<number, { readonly asked: string; readonly odd: TableWarning[] }>()
