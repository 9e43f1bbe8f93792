import { upAndDown } from '../../planning/index.js'
import type { Axis, Store } from '../../store/index.js'
import type { WishedRuns } from '../live/guided-recheck.js'
import { SweepSession } from './sweeps.js'

/** The runs that a recheck needs, made in few travels with the knob turned on the way. */
export function sweepRecheck(store: Store, axis: Axis, wished: WishedRuns, nowIso: string): SweepSession {
  return new SweepSession(store, axis, { ...wished, order: upAndDown, sinceIso: nowIso })
}
