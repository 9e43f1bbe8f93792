export type {
  CurvePoint,
  DirectionDifference,
  FeedEstimate,
  FeedTable,
  FittedAxis,
  FittedDirection,
  IntervalMmPerMin,
  MarkFit,
  MethodId,
  NoiseSummary,
  RunEvidence,
} from './feed-table.js'
export { type LeastSquaresFit, leastSquares } from './least-squares.js'
export { type NeweyWestOptions, neweyWest, neweyWestLag, standardErrors } from './newey-west.js'
export type { RunFeed } from './run-feed.js'
export {
  chiSquareCdf,
  chiSquareQuantile,
  normalCdf,
  normalQuantile,
  studentTCdf,
  studentTQuantile,
} from './student-t.js'
