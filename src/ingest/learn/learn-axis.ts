import { DataError, sentence, way } from '../../errors/index.js'
import type { ColumnSeries, LearnedColumn } from './learn-shape.js'

/** A number of the lines and how it went while the axis was moved. */
interface WatchedColumn {
  readonly column: LearnedColumn
  readonly series: ColumnSeries
}

/** The number that moved. */
interface MovedColumn {
  readonly column: LearnedColumn
  /** From the rest before to the rest after, in numbers as they stand in the lines; with its sign. */
  readonly netMove: number
  /** Whether it stood still at both ends, so that `netMove` is a whole move. */
  readonly rested: boolean
}

/** Steps of the last digit that a number may flicker by at rest. Judgement: one step to either side. */
const FLICKER_STEPS = 2
/** Steps from which on a number has been moved on purpose. Judgement: four times the flicker. */
const MOVED_STEPS = 8
/**
 * Share by which another number may move along with the axis: the table tilts, the operator leans on it.
 * Judgement: a second axis that is really moved goes further than a fiftieth.
 */
const ALONG_SHARE = 0.02
/**
 * Length, s, over which rest is looked for at both ends. Judgement: who is asked to wait a moment waits as long.
 */
const REST_S = 0.4
/** The same in lines at least, for slow readouts (judgement). */
const REST_LINES = 3
/**
 * Share of readings at both extremes that may be damaged. Judgement: a cable that loses more shows it elsewhere.
 */
const FREAK_SHARE = 0.01

/**
 * Finds the number that moved while one axis was moved alone.
 *
 * @throws DataError `nothing-moved`, `several-moved`
 */
export function whichMoved(watched: readonly WatchedColumn[]): MovedColumn {
  const ranges = watched
    .filter(({ series }) => series.values.length > 0)
    .map(({ column, series }) => ({ column, series, range: rangeOf(series), step: 10 ** -column.decimals }))
    .sort((a, b) => b.range / b.step - a.range / a.step)
  const [widest] = ranges
  if (widest === undefined || widest.range < MOVED_STEPS * widest.step) {
    throw new DataError(
      'nothing-moved',
      'None of the numbers moved.',
      'Move the axis a good way while the program listens, and check that its readout is on.',
    )
  }
  const others = ranges
    .slice(1)
    .filter(({ range, step }) => range > Math.max(FLICKER_STEPS * step, ALONG_SHARE * widest.range))
  if (others.length > 0) {
    const names = [widest, ...others].map(({ column }) => sayColumn(column)).join(' and ')
    throw new DataError(
      'several-moved',
      `More than one number moved: ${names}.`,
      sentence`Move the wanted axis alone, with the others locked, or say which it is${way('column')}.`,
    )
  }
  return moveOf(widest.column, widest.series)
}

/** How one number went, from rest to rest. */
export function moveOf(column: LearnedColumn, series: ColumnSeries): MovedColumn {
  const flicker = FLICKER_STEPS * 10 ** -column.decimals * 1.01
  const endS = series.timeS.at(-1)!
  const before = series.values.filter(
    (_, i) => i < REST_LINES || series.timeS[i]! - series.timeS[0]! <= REST_S,
  )
  const after = series.values.filter(
    (_, i) => i >= series.values.length - REST_LINES || endS - series.timeS[i]! <= REST_S,
  )
  const rests = (values: readonly number[]) => Math.max(...values) - Math.min(...values) <= flicker
  return {
    column,
    netMove: middleOf(after) - middleOf(before),
    rested: series.values.length >= 2 * REST_LINES && rests(before) && rests(after),
  }
}

/** `the number labelled X`, `column 2`. */
export function sayColumn({ label, column }: LearnedColumn): string {
  return label === null ? `column ${column}` : `the number labelled ${label}`
}

function rangeOf({ values }: ColumnSeries): number {
  const sorted = [...values].sort((a, b) => a - b)
  const freaks = Math.floor(FREAK_SHARE * sorted.length)
  return sorted[sorted.length - 1 - freaks]! - sorted[freaks]!
}

function middleOf(values: readonly number[]): number {
  const sorted = [...values].sort((a, b) => a - b)
  const half = sorted.length / 2
  return (sorted[Math.ceil(half) - 1]! + sorted[Math.floor(half)]!) / 2
}
