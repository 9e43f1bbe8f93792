import { stringify } from 'csv-stringify/sync'
import { UsageError } from '../errors/index.js'
import { dialForFeed, measuredRange, standingWarnings } from '../planning/index.js'
import { MEASURED } from '../planning/lookup/free-of-cut.js'
import type { CurvePoint, FeedTable, IntervalMmPerMin, MarkFit } from '../regression/index.js'
import { directionWord, fromMm, type LengthUnit, writeDial } from '../units/index.js'

/** Feeds from the lowest to the highest measured one in the rows `feed-to-dial`. */
const FEED_STEPS = 100

type Cell = string | number | null

/**
 * Tables as one CSV with a header line (RFC 4180 quoting, newline after each line, decimal points). Column `row` tells
 * what a line is: `mark` a measured mark, `dial-to-feed` a point of the fine grid of dials, `feed-to-dial` a point of a
 * fine grid of feeds with the dial that gives it. Units stand in the column names; numbers are written so that they
 * read back as they were; text that a spreadsheet would take for a formula gets a leading apostrophe. Tables with
 * marks alone have rows `mark` alone.
 *
 * @throws UsageError `mixed-units` for tables in different units
 */
export function tablesToCsv(tables: readonly FeedTable[]): string {
  const units = new Set(tables.map((table) => table.unit))
  const [unit = 'mm'] = units
  if (units.size > 1) {
    throw new UsageError(
      'mixed-units',
      'Tables in different units do not go into one CSV file.',
      'Export one machine or axis at a time.',
    )
  }
  const rows = tables.flatMap((table) => [
    ...table.marks.map((mark) => markRow(table, mark)),
    ...table.curve.map((point) => row(table, 'dial-to-feed', point, null, null)),
    ...feedRows(table),
  ])
  return stringify(rows, { columns: columns(unit), header: true, escape_formulas: true })
}

function columns(unit: LengthUnit): string[] {
  const perMin = `${unit}_per_min`
  return [
    'machine',
    'axis',
    'direction',
    'version',
    'row',
    'dial',
    'dial_low_95',
    'dial_high_95',
    `feed_${perMin}`,
    `feed_standard_uncertainty_${perMin}`,
    `feed_low_95_${perMin}`,
    `feed_high_95_${perMin}`,
    `next_setting_low_95_${perMin}`,
    `next_setting_high_95_${perMin}`,
    'runs',
    'fitted_at',
    'method',
    'hash',
    'measured_dial_low',
    'measured_dial_high',
    `measured_feed_low_${perMin}`,
    `measured_feed_high_${perMin}`,
    'measured',
    'warnings',
  ]
}

function markRow(table: FeedTable, mark: MarkFit): Cell[] {
  return row(table, 'mark', mark, null, mark.runs)
}

function feedRows(table: FeedTable): Cell[][] {
  if (table.curve.length === 0) return []
  const [low, high] = measuredRange(table).feedMmPerMin
  return Array.from({ length: FEED_STEPS + 1 }, (_, step) => {
    const share = step / FEED_STEPS
    const feedMmPerMin = step === FEED_STEPS ? high : low + (high - low) * share
    // A dial whose feed is nothing is no answer to a wanted feed.
    if (feedMmPerMin <= 0) return null
    const { dial, feed, nextSetting95 } = dialForFeed(table, feedMmPerMin)
    const point = { ...feed, dial: dial.value, feedMmPerMin, nextSetting95 }
    return row(table, 'feed-to-dial', point, dial.interval95, null)
  }).filter((cells) => cells !== null)
}

function row(
  table: FeedTable,
  kind: 'mark' | 'dial-to-feed' | 'feed-to-dial',
  point: CurvePoint,
  dialInterval: readonly [number, number] | null,
  runs: number | null,
): Cell[] {
  const range = measuredRange(table)
  const inUnit = (valueMm: number | null) => (valueMm === null ? null : fromMm(valueMm, table.unit))
  const ends = (interval: IntervalMmPerMin | null) => [
    inUnit(interval?.[0] ?? null),
    inUnit(interval?.[1] ?? null),
  ]
  return [
    table.machine,
    table.axis,
    // Words, because a spreadsheet takes a sign for the begin of a formula.
    directionWord(table.direction),
    table.version,
    kind,
    dialCell(point.dial, table),
    dialInterval?.[0] ?? null,
    dialInterval?.[1] ?? null,
    inUnit(point.feedMmPerMin),
    inUnit(point.standardUncertaintyMmPerMin),
    ...ends(point.interval95),
    ...ends(point.nextSetting95),
    runs,
    table.fittedAt,
    `${table.method.name} ${table.method.version}`,
    table.hash,
    ...range.dial.map((dial) => dialCell(dial, table)),
    ...ends(range.feedMmPerMin),
    MEASURED,
    standingWarnings(table)
      .map((warning) => warning.message)
      .join(' ') || null,
  ]
}

/** A setting as a number, or as its letter. */
function dialCell(dial: number, table: FeedTable): Cell {
  return table.lettered ? writeDial(dial, table) : dial
}
