import type { View } from '../model/places.js'
import { History } from './history.js'
import { Recheck } from './recheck.js'

/** What the place "Check" offers. */
export const CHECK_VIEWS: readonly View[] = [
  { path: '', name: 'Recheck', view: Recheck },
  { path: 'history', name: 'History', view: History },
]
