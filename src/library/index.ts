/**
 * tablepace as a library: lookups on a table that `tablepace export --format json` wrote, and the functions that fit
 * feeds and tables. Nothing here opens a store, a port or a file, and nothing needs a native module, so that it also
 * runs in a browser. Lengths are mm, times s, feeds mm/min.
 *
 * @example
 * import { readTables, dialForFeed, toMm } from 'tablepace'
 * const [table] = readTables(await readFile('bench-x.json', 'utf8'))
 * dialForFeed(table, toMm(7, 'in')).dial.value
 */
export { DataError, TablepaceError, UsageError } from '../errors/index.js'
export { type DialAnswer, dialForFeed, type FeedAnswer, feedAtDial } from '../planning/lookup/lookups.js'
export { type MeasuredRange, measuredRange } from '../planning/lookup/measured-range.js'
export { standingWarnings } from '../planning/lookup/standing-warnings.js'
export {
  type CurvePoint,
  type DirectionDifference,
  type FeedEstimate,
  type FeedTable,
  FIT_METHOD,
  type FitOptions,
  type FittedAxis,
  type FittedDirection,
  fitAxis,
  type IntervalMmPerMin,
  type MarkFit,
  type NoiseSummary,
  type RunEvidence,
  type RunFeed,
  type StopwatchEntry,
  steadyFeed,
  stopwatchFeed,
  type TableWarning,
} from '../regression/index.js'
export { fromMm, type LengthUnit, parseFeedMmPerMin, parseLengthMm, toMm } from '../units/index.js'
export { readTables } from './read-tables.js'
