export { type AxisScatter, type AxisSide, axisScatter, type FitOptions } from './axis-scatter.js'
export { type CurveDraw, type CurveKnot, drawCurves } from './curve-draws.js'
export { curveGrid } from './dial-curve.js'
export { SAME_WITHIN_PERCENT } from './direction-difference.js'
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
  WarmUp,
} from './feed-table.js'
export { FIT_METHOD, fitAxis, WARM_FIT_METHOD } from './fit-axis.js'
export {
  JUDGE_METHOD,
  type JudgedRun,
  type JudgeOptions,
  judgeRecording,
  type Recording,
} from './judge-recording.js'
export { type LeastSquaresFit, leastSquares } from './least-squares.js'
export { type FittedMark, fitMark, type ShiftVariances } from './mark-fit.js'
export { groupByMark, type MarkGroup, sortRuns } from './mark-group.js'
export { isotonic } from './monotone.js'
export { type NeweyWestOptions, neweyWest, neweyWestLag, standardErrors } from './newey-west.js'
export { type NoisePoint, type NoisePosterior, noisePosterior } from './noise-model.js'
export {
  type MixturePart,
  mixtureHalfWidth,
  mixtureStandardDeviation,
  mixtureUpperTail,
} from './normal-mixture.js'
export { evaluateCubic, type PiecewiseCubic, pchip } from './pchip.js'
export { type PracticeRound, type PressErrors, pressErrors, ROUNDS_FOR_SPREAD } from './press-errors.js'
export type { RunFeed } from './run-feed.js'
export type { ByteTime, ClockRate } from './run-time.js'
export { seededNormal, seededUniform, seedFrom } from './seeded-normal.js'
export { drawSparseCurves } from './sparse-curve.js'
export { type SteadyFeedOptions, steadyFeed } from './steady-feed.js'
export {
  DEFAULT_PRESS_SPREAD_S,
  type StopwatchEntry,
  stopwatchFeed,
} from './stopwatch-feed.js'
export {
  chiSquareCdf,
  chiSquareQuantile,
  normalCdf,
  normalQuantile,
  studentTCdf,
  studentTQuantile,
} from './student-t.js'
