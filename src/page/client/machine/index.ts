import type { View } from '../model/places.js'
import { Advice } from './advice.js'
import { Care } from './care.js'
import { Compare } from './compare.js'
import { Files } from './files.js'
import { Machines } from './machines/machines.js'
import { Phone } from './phone.js'
import { Practice } from './practice.js'
import { Readout } from './readout/readout.js'
import { Runs } from './runs.js'
import { Stops } from './stops.js'
import { Tables } from './tables.js'

/** What the place "Machine" offers, in this order; each is one file in this folder. */
export const MACHINE_VIEWS: readonly View[] = [
  { path: '', name: 'Machines', view: Machines },
  { path: 'readout', name: 'Readout', view: Readout },
  { path: 'runs', name: 'Runs', view: Runs },
  { path: 'tables', name: 'Tables', view: Tables },
  { path: 'compare', name: 'Compare', view: Compare },
  { path: 'stops', name: 'Limit stop', view: Stops },
  { path: 'advice', name: 'How many runs', view: Advice },
  { path: 'practice', name: 'Timing test', view: Practice },
  { path: 'files', name: 'Files', view: Files },
  { path: 'care', name: 'In order?', view: Care },
  { path: 'phone', name: 'Phone', view: Phone },
]
