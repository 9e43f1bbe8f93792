import type { View } from '../model/places.js'
import { History } from './history.js'
import { Recheck } from './recheck.js'
import { Today } from './today.js'

/** What the place "Check" offers. */
export const CHECK_VIEWS: readonly View[] = [
  { path: '', name: 'Recheck', view: Recheck },
  { path: 'today', name: 'Today', view: Today },
  { path: 'history', name: 'History', view: History },
]
