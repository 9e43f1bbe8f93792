import { UsageError } from '../../errors/index.js'
import type { Axis, Store } from '../../store/index.js'
import type { PageEvent } from '../api.js'
import type { LearnDesk } from './machine/learn-desk.js'
import type { LiveDesk } from './measure/live-desk.js'
import type { SessionDesk } from './measure/session-desk.js'

export { nowIso } from '../../jobs/index.js'

/** What the answers are made from. */
export interface Desk {
  readonly store: Store
  readonly sessions: SessionDesk
  readonly live: LiveDesk
  readonly learning: LearnDesk
  readonly send: (event: PageEvent) => void
  /** Ports that may be opened although the system does not list them. */
  readonly readoutPorts: readonly string[]
}

/** The axis that a question names. @throws UsageError `bad-request`, `unknown-axis` */
export function axisOf(store: Store, query: URLSearchParams): Axis {
  const id = Number(query.get('id'))
  if (!Number.isSafeInteger(id)) {
    throw new UsageError('bad-request', 'The request names no axis.', 'Reload the page.')
  }
  return store.axes.byId(id)
}
