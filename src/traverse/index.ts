export { blockMeans, type Track } from './block-means.js'
export { findLevels, LEAST_LEVEL_S } from './levels/find-levels.js'
export { LevelWatch } from './levels/level-watch.js'
export { cutOffToldBy } from './phases/cut-off.js'
export { BATCHED, type FindTraversesOptions, findTraverses } from './phases/find-traverses.js'
export { type MotionEvent, MotionWatch } from './phases/motion-watch.js'
export { NO_RAMPS_LEFT, type RampLeft, type RampsLeft, SLOWEST_UNSEEN_S } from './phases/ramps-left.js'
export {
  CLEAR_TURNS,
  type RipplePeriod,
  rippleAt,
  searchRipple,
} from './phases/ripple-search.js'
export type {
  Coast,
  CutOff,
  Direction,
  Phases,
  Rejection,
  Traverse,
  Warning,
} from './traverse.js'
