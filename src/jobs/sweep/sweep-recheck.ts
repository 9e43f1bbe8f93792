import { onceThrough } from '../../planning/index.js'
import type { Axis, Store } from '../../store/index.js'
import type { WishedRuns } from '../live/guided-recheck.js'
import type { GuidedSession } from '../live/guided-session.js'
import { SweepSession } from './sweeps.js'

/**
 * The runs that a recheck needs, made in few travels with the knob turned on the way: what changes from
 * run to run may be the same for all runs of a travel, so that each makes one run of a setting.
 */
export function sweepRecheck(
  store: Store,
  axis: Axis,
  { runs, directions }: Pick<WishedRuns, 'runs' | 'directions'>,
  nowIso: string,
): SweepSession {
  return new SweepSession(store, axis, { runs, directions, order: onceThrough, sinceIso: nowIso })
}

/**
 * The travels that make the runs which a guided recheck still lacks. Their recordings are made in its session, without a
 * step; runs made one by one count too.
 *
 * @returns null where its plan has fewer than two settings to turn through
 */
export function sweepGuidedRecheck(store: Store, axis: Axis, session: GuidedSession): SweepSession | null {
  const { steps } = session.plan
  const directions = ([1, -1] as const).filter((way) => steps.some(({ direction }) => direction === way))
  // A recheck asks for the same runs each way.
  const one = steps.filter(({ direction }) => direction === directions[0])
  const dials = [...new Set(one.map(({ dial }) => dial))]
  if (dials.length < 2) return null
  const runs = dials.map((dial) => ({ dial, runs: one.filter((step) => step.dial === dial).length }))
  const counting = { sinceIso: '', sessionId: session.id }
  return new SweepSession(store, axis, { runs, directions, order: onceThrough, ...counting })
}
