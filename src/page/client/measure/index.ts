import type { View } from '../model/places.js'
import { MeasureByFilm } from './by-film.js'
import {
  MeasureAlone,
  MeasureByReadout,
  MeasureByStopwatch,
  MeasureBySweeps,
  MeasureNext,
} from './measure.js'

/** One screen; its address says by what is timed, so that a reload leads back to where one was. */
export const MEASURE_VIEWS: readonly View[] = [
  { path: '', name: 'Session', view: MeasureNext },
  { path: 'record', name: 'Readout', view: MeasureByReadout, unlisted: true },
  { path: 'stopwatch', name: 'Stopwatch', view: MeasureByStopwatch, unlisted: true },
  { path: 'film', name: 'Film', view: MeasureByFilm, unlisted: true },
  { path: 'sweep', name: 'Many settings in one travel', view: MeasureBySweeps, unlisted: true },
  { path: 'alone', name: 'A single run', view: MeasureAlone, unlisted: true },
]
