export { type DisplayBox, type DisplayLayout, type GreyFrame, uprightBox } from './grey-frame.js'
export { type FilmReading, filmLines, readFilm } from './read-film.js'
