import { later } from '../parts/later.js'

/** Runs read off a film of the readout. */
export const MeasureByFilm = later(async () => (await import('../film/film-runs.js')).FilmRuns)
