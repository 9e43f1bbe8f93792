import { upAndDown } from '../../planning/index.js'
import type { Axis, Store } from '../../store/index.js'
import { type RecheckWish, runsForRecheck, type WishedRuns } from '../live/guided-recheck.js'
import { SweepSession } from './sweeps.js'

/**
 * The runs that a recheck needs, made in few travels with the knob turned on the way.
 *
 * @throws DataError as `runsForRecheck` does
 */
export function sweepRecheck(
  store: Store,
  axis: Axis,
  wish: RecheckWish,
  nowIso: string,
): WishedRuns & { readonly sweeps: SweepSession } {
  const { runs, directions } = runsForRecheck(store, axis, wish)
  const sweeps = new SweepSession(store, axis, { runs, directions, order: upAndDown, sinceIso: nowIso })
  return { runs, directions, sweeps }
}
