export { blockMeans, type Track } from './block-means.js'
export { type FindTraversesOptions, findTraverses } from './find-traverses.js'
export { type MotionEvent, MotionWatch, type MotionWatchOptions } from './motion-watch.js'
export { type RipplePeriod, type RippleSearchOptions, searchRipple } from './ripple-search.js'
export { positionOnLine, type StraightLine, straightLine } from './straight-line.js'
export type {
  Coast,
  Direction,
  Phases,
  Rejection,
  Traverse,
  TraverseRejectionCode,
  Warning,
} from './traverse.js'
