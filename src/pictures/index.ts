export { type CardRow, cardRows } from './card-rows.js'
export {
  curveData,
  type DirectionData,
  type DrawnPoint,
  type DrawnTable,
} from './curve-data.js'
export { curvePicture } from './curve-picture.js'
export {
  cardNotes,
  cardOrigin,
  type DialCard,
  dialCard,
  feedWords,
  standingNotes,
  withinWords,
} from './dial-card.js'
export { driftPicture } from './drift-picture.js'
export { type RunHeading, runPicture, SMALL_UNIT } from './run-picture.js'
export { type RunSamples, type RunTrack, runTrack, type SteadyResiduals } from './run-track.js'
