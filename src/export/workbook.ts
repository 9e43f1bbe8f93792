import type { Row, Sheet } from 'write-excel-file/node'
import { sentence, UsageError, way } from '../errors/index.js'
import { answeredRange, dialForFeed, measuredRange, standingWarnings } from '../planning/index.js'
import { MEASURED_SENTENCE } from '../planning/lookup/free-of-cut.js'
import type { CurvePoint, FeedTable, MarkFit } from '../regression/index.js'
import { directionWord, feedUnit, fromMm, writeDial } from '../units/index.js'
import { exactText, interpolated, nearest, type SheetColumn, type SheetLimits } from './sheet-formulas.js'

type Cells = Row
type Cell = Row[number]

const BOLD = { fontWeight: 'bold' } as const
/** Cells to type in: framed, so that they are found without colour. */
const INPUT = { borderStyle: 'medium', fontWeight: 'bold' } as const
const OUTSIDE = 'outside what was measured'
const NO_BAND = '–'

/**
 * Tables of one axis as an Office Open XML workbook (ECMA-376) with live lookups: type a feed and read the dial of each
 * direction, type a dial and read the feed, both with their intervals. The first sheet holds the lookups, one sheet a
 * direction what they read, the last where it all comes from.
 *
 * @throws UsageError `no-table` for none
 */
export async function tablesToWorkbook(tables: readonly FeedTable[]): Promise<Buffer> {
  const [first] = tables
  if (first === undefined) {
    throw new UsageError('no-table', 'There is no table to export.', sentence`Make one${way('fit')}.`)
  }
  const { default: writeWorkbook } = await import('write-excel-file/node')
  return writeWorkbook([
    lookupSheet(tables, first),
    ...tables.map(tableSheet),
    originSheet(tables),
  ]).toBuffer()
}

function lookupSheet(tables: readonly FeedTable[], first: FeedTable): Sheet<never> {
  const unit = feedUnit(first.unit)
  const middle = pointsOf(first)[Math.floor(pointsOf(first).length / 2)]
  const rows: Cells[] = [
    [{ value: `${first.machine} ${first.axis}: dial and feed`, ...BOLD, fontSize: 14 }],
    [],
    [{ value: `Type a feed, ${unit}`, ...BOLD }, numberInput(fromMm(middle?.feedMmPerMin ?? 1, first.unit))],
    headRow([
      '',
      'dial',
      'feed there',
      '95 % from',
      '95 % to',
      'next setting 95 % from',
      'next setting 95 % to',
    ]),
    ...tables.map((table, index) => feedRow(table, 'B3', `B${5 + index}`)),
    [],
    [
      { value: `Type a dial ${first.lettered ? 'letter' : 'number'}`, ...BOLD },
      first.lettered ? { ...dialCell(middle?.dial ?? 1, first), ...INPUT } : numberInput(middle?.dial ?? 1),
    ],
    headRow(['', '', 'feed', '95 % from', '95 % to', 'next setting 95 % from', 'next setting 95 % to']),
    ...tables.map((table) => dialRow(table, `B${6 + tables.length}`)),
    [],
    ...tables.flatMap((table) =>
      standingWarnings(table).map((warning) => [
        { value: `Note, ${directionWords(table)}: ${warning.message}`, type: String },
      ]),
    ),
    [
      {
        value:
          'Next setting: where the feed lies with 95 % probability the next time the dial is set, on any day.',
      },
    ],
    [
      {
        value: `${MEASURED_SENTENCE} The figures are starting points: the machine's manual, the shop's rules and trained people come first.`,
      },
    ],
  ]
  return {
    sheet: 'Look up',
    data: rows,
    columns: [{ width: 26 }, ...Array.from({ length: 6 }, () => ({ width: 20 }))],
  }
}

/** The dial is looked up first, in `own`, and everything else is read at that dial. */
function feedRow(table: FeedTable, input: string, own: string): Cells {
  const columns = sheetColumns(table)
  const dial =
    table.curve.length > 0
      ? interpolated(input, columns.wantedFeed, columns.dialThere, OUTSIDE, limitsOf(table))
      : nearest(input, columns.feedFrom, columns.feed, columns.dial, OUTSIDE, limitsOf(table))
  return [{ value: directionWords(table) }, formula(dial), ...atDial(table, own)]
}

function dialRow(table: FeedTable, input: string): Cells {
  return [{ value: directionWords(table) }, null, ...atDial(table, input)]
}

function atDial(table: FeedTable, dial: string): Cells {
  const { dial: dials, feed, low, high, nextLow, nextHigh } = sheetColumns(table)
  const banded = table.curve.every((point) => point.interval95 !== null && point.nextSetting95 !== null)
  return [feed, low, high, nextLow, nextHigh].map((column) => {
    if (table.curve.length === 0) return formula(exactText(dial, dials, column, 'not a measured mark'))
    return column === feed || banded ? formula(interpolated(dial, dials, column, OUTSIDE)) : text(NO_BAND)
  })
}

/** Feeds that the program answers too, in the machine's unit. */
function limitsOf(table: FeedTable): SheetLimits {
  const [low, high] = answeredRange(table).map((feed) => fromMm(feed, table.unit)) as [number, number]
  return { low, high }
}

/** Columns of a direction's sheet, from its second row on. */
function sheetColumns(
  table: FeedTable,
): Record<
  'dial' | 'feed' | 'low' | 'high' | 'nextLow' | 'nextHigh' | 'feedFrom' | 'wantedFeed' | 'dialThere',
  SheetColumn
> {
  const at = (letter: string): SheetColumn => ({
    sheet: sheetName(table),
    letter,
    firstRow: 2,
    lastRow: 1 + pointsOf(table).length,
  })
  return {
    dial: at('A'),
    feed: at('B'),
    low: at('C'),
    high: at('D'),
    nextLow: at('E'),
    nextHigh: at('F'),
    feedFrom: at('G'),
    wantedFeed: at('G'),
    dialThere: at('H'),
  }
}

function tableSheet(table: FeedTable): Sheet<never> {
  const unit = feedUnit(table.unit)
  const points = pointsOf(table)
  const inUnit = (value: number | undefined) => (value === undefined ? null : fromMm(value, table.unit))
  const turned = turnedRound(table)
  const rows = points.map((point, index) => [
    dialCell(point.dial, table),
    number(inUnit(point.feedMmPerMin)),
    ...[point.interval95, point.nextSetting95].flatMap((ends) => [
      number(inUnit(ends?.[0])),
      number(inUnit(ends?.[1])),
    ]),
    ...(table.curve.length > 0 ? turned[index]!.map(number) : [number(inUnit(lowestNearest(points, index)))]),
  ])
  const heads = [
    'dial',
    `feed, ${unit}`,
    '95 % from',
    '95 % to',
    'next setting 95 % from',
    'next setting 95 % to',
  ]
  return {
    sheet: sheetName(table),
    data: [
      headRow([
        ...heads,
        ...(table.curve.length > 0 ? [`wanted feed, ${unit}`, 'dial there'] : ['nearest from feed']),
      ]),
      ...rows,
    ],
    columns: heads.map(() => ({ width: 20 })),
    stickyRowsCount: 1,
  }
}

/** The feeds of the curve, rising, with the dial that a lookup answers: so a falling curve can be searched too. */
function turnedRound(table: FeedTable): [feed: number, dial: number][] {
  return table.curve
    .toSorted((a, b) => a.feedMmPerMin - b.feedMmPerMin)
    .map(({ dial, feedMmPerMin }) => [
      fromMm(feedMmPerMin, table.unit),
      feedMmPerMin > 0 ? dialForFeed(table, feedMmPerMin).dial.value : dial,
    ])
}

/** The lowest feed for which this mark is the nearest: half way to the mark before. */
function lowestNearest(points: readonly (MarkFit | CurvePoint)[], index: number): number {
  const [before, here] = [points[index - 1], points[index]]
  return before === undefined || here === undefined ? 0 : (before.feedMmPerMin + here.feedMmPerMin) / 2
}

function originSheet(tables: readonly FeedTable[]): Sheet<never> {
  const rows = tables.flatMap((table): Cells[] => {
    const { dial, feedMmPerMin } = measuredRange(table)
    const [low, high] = feedMmPerMin.map((feed) => fromMm(feed, table.unit)) as [number, number]
    return [
      [{ value: directionWords(table), ...BOLD }],
      [text('machine'), text(table.machine)],
      [text('axis'), text(table.axis)],
      [text('version'), number(table.version)],
      [text('hash'), text(table.hash)],
      [text('fitted at'), text(table.fittedAt)],
      [text('method'), text(`${table.method.name} ${table.method.version}`)],
      [text('unit of feeds'), text(feedUnit(table.unit))],
      [text('measured dials'), dialCell(dial[0], table), dialCell(dial[1], table)],
      [text('measured feeds'), number(low), number(high)],
      [text('runs'), number(table.runIds.length)],
      [],
    ]
  })
  return { sheet: 'Where from', data: rows, columns: [{ width: 20 }, { width: 70 }, { width: 20 }] }
}

function pointsOf(table: FeedTable): readonly (MarkFit | CurvePoint)[] {
  // Falling marks would break the search by feed, as they would any planner's.
  return table.curve.length > 0
    ? table.curve
    : table.marks.toSorted((a, b) => a.feedMmPerMin - b.feedMmPerMin)
}

function sheetName(table: FeedTable): string {
  return table.direction === 1 ? 'Plus' : 'Minus'
}

function directionWords(table: FeedTable): string {
  return `direction ${directionWord(table.direction)}`
}

function headRow(heads: readonly string[]): Cells {
  return heads.map((value) => ({ value, ...BOLD }))
}

/** A text cell is a text to every spreadsheet, whatever sign it begins with. */
function text(value: string): Cell {
  return { value, type: String }
}

function number(value: number | null): Cell {
  return value === null ? text(NO_BAND) : { value, type: Number }
}

/** A setting as a number, or as its letter. */
function dialCell(dial: number, table: FeedTable) {
  return table.lettered ? text(writeDial(dial, table)) : number(dial)
}

function numberInput(value: number): Cell {
  return { value: Number(value.toPrecision(2)), type: Number, ...INPUT }
}

function formula(value: string): Cell {
  return { value: `=${value}`, type: 'Formula' }
}
