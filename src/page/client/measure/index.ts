import type { View } from '../model/places.js'
import { Plan } from './plan.js'
import { Record } from './record.js'
import { StopwatchView } from './stopwatch.js'

/** What the place "Measure" offers. */
export const MEASURE_VIEWS: readonly View[] = [
  { path: '', name: 'Plan', view: Plan },
  { path: 'record', name: 'Record', view: Record },
  { path: 'stopwatch', name: 'Stopwatch', view: StopwatchView },
]
