export type { AcceptedFrame } from './film-positions.js'
export type { FoundDisplay } from './find-placement.js'
export { type DisplayBox, type DisplayLayout, type GreyFrame, uprightBox } from './grey-frame.js'
export { type FilmReading, filmLines, readFilm } from './read-film.js'
