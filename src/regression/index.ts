export type { CurveDraw } from './curve/curve-draws.js'
export { curveGrid } from './curve/dial-curve.js'
export { MARKS_FOR_SHAPE } from './curve/dial-draws.js'
export { REPEATS_FOR_SHAPE, showsShape } from './curve/shows-shape.js'
export { type WidestGap, widestGaps } from './curve/widest-gap.js'
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
  TableSession,
  TableWarning,
  WarmUp,
} from './feed-table.js'
export { FIT_METHOD, fitAxis, WARM_FIT_METHOD } from './fit-axis.js'
export { SCATTER_EARLIER } from './fit-warnings.js'
export { ODD_RUN } from './odd-run-warnings.js'
export { relativeHalfWidth } from './relative-half-width.js'
export {
  JUDGE_METHOD,
  type JudgedRun,
  judgeRecording,
  type RecordedSamples,
} from './run/judge-recording.js'
export { type PracticeRound, pressErrors, ROUNDS_FOR_SPREAD } from './run/press-errors.js'
export { readingsFeed, type TimedReadingsOfRun } from './run/readings-feed.js'
export type { RunFeed } from './run/run-feed.js'
export { USUAL_PITCH_MM } from './run/short-travel.js'
export type { SlowEnd } from './run/slow-end.js'
export { FEW_TURNS_MM, steadyFeed } from './run/steady-feed.js'
export { DEFAULT_PRESS_SPREAD_S, type StopwatchEntry, stopwatchFeed } from './run/stopwatch-feed.js'
export {
  type AxisScatter,
  type AxisSide,
  axisScatter,
  axisSides,
  type FitOptions,
  noiseOptions,
  ofMeanSession,
  scatterBefore,
} from './scatter/axis-scatter.js'
export { foundTrend, marksOutOfOrder, type TrendFound } from './scatter/dial-trend.js'
export { type FittedMark, fitMark, type ShiftVariances } from './scatter/mark-fit.js'
export { creepLimit, fastestMark, groupByMark, type MarkGroup, sortRuns } from './scatter/mark-group.js'
export { assumedNoise, type NoisePosterior, noisePosterior } from './scatter/noise-model.js'
export { type ScatterPoint, type ScatterPosterior, scatterWithTravels } from './scatter/travel-scatter.js'
export {
  borrowsWith,
  drawSideCurves,
  type FittedSide,
  MARKS_TO_LEND,
  type SharingSides,
  sharingSides,
} from './shared-shape.js'
export { axisOddRuns } from './wrong-runs.js'
