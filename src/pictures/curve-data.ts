import type { CurvePoint, FeedTable, IntervalMmPerMin, MarkFit } from '../regression/index.js'
import type { Direction } from '../traverse/index.js'
import { feedUnit, fromMm, type LengthUnit } from '../units/index.js'

/** A run as a point of the picture. */
interface DrawnRun {
  readonly dial: number
  readonly feedMmPerMin: number
  readonly source: 'readout' | 'stopwatch'
}

/** A table and the runs it was fitted from. */
export interface DrawnTable {
  readonly table: FeedTable
  readonly runs: readonly DrawnRun[]
}

/** A place with its feed and bands in the machine's unit. */
export interface DrawnPoint {
  readonly dial: number
  readonly feed: number
  readonly mean95: readonly [number, number] | null
  readonly next95: readonly [number, number] | null
}

/** What is drawn of one direction, feeds in the machine's unit. */
export interface DirectionData {
  readonly direction: Direction
  readonly table: FeedTable
  readonly curve: readonly DrawnPoint[]
  readonly marks: readonly DrawnPoint[]
  readonly runs: readonly {
    readonly dial: number
    readonly feed: number
    readonly source: DrawnRun['source']
  }[]
}

/** Tables and runs in the machine's unit, as pictures and plots draw them. */
export function curveData(tables: readonly DrawnTable[]): DirectionData[] {
  return tables.map(({ table, runs }) => ({
    direction: table.direction,
    table,
    curve: table.curve.map((point) => drawnPoint(point, table.unit)),
    marks: table.marks.map((mark) => drawnPoint(mark, table.unit)),
    runs: runs.map(({ dial, feedMmPerMin, source }) => ({
      dial,
      feed: fromMm(feedMmPerMin, table.unit),
      source,
    })),
  }))
}

/** The feed that deviations at a dial are told from: the curve there, or the mark where there is no curve. */
export function feedAt({ curve, marks }: DirectionData, dial: number): number | null {
  const points = curve.length > 0 ? curve : marks
  const above = points.findIndex((point) => point.dial >= dial)
  const high = points[above]
  if (high === undefined) return null
  if (high.dial === dial) return high.feed
  const low = points[above - 1]
  if (low === undefined || curve.length === 0) return null
  return low.feed + ((dial - low.dial) / (high.dial - low.dial)) * (high.feed - low.feed)
}

/** `in/min` or `mm/min`. */
export function feedUnitOf(data: readonly DirectionData[]): string {
  return feedUnit(data[0]?.table.unit ?? 'mm')
}

function drawnPoint(point: CurvePoint | MarkFit, unit: LengthUnit): DrawnPoint {
  const inUnit = (interval: IntervalMmPerMin | null): [number, number] | null =>
    interval === null ? null : [fromMm(interval[0], unit), fromMm(interval[1], unit)]
  return {
    dial: point.dial,
    feed: fromMm(point.feedMmPerMin, unit),
    mean95: inUnit(point.interval95),
    next95: inUnit(point.nextSetting95),
  }
}
