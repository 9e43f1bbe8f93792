import { DataError, sentence, way } from '../errors/index.js'
import { measuredRange, standingWarnings } from '../planning/index.js'
import { MEASURED_SENTENCE } from '../planning/lookup/free-of-cut.js'
import type { FeedTable } from '../regression/index.js'
import { type DialWriting, directionWord, feedUnit, formatDial, fromMm, printedSign } from '../units/index.js'
import { type CardRow, cardRows } from './card-rows.js'
import { DIAL_RADIUS, dialDrawing } from './dial-drawing.js'
import { element, type Markup } from './element.js'
import { headingHeight, PAGE_MARGIN, page } from './page.js'
import { line } from './panel.js'
import { directionStyle, GRID_INK, INK, QUIET_INK } from './style.js'

/** What a card is made from: the tables of one axis, one a direction, and the numbers its dial has. */
export interface DialCard {
  readonly tables: readonly FeedTable[]
  readonly dialRange: readonly [number, number]
}

/** Lay-out, px: judgement, by eye. */
const WIDTH = 720
const DIAL_BLOCK = 2 * DIAL_RADIUS + 62
const ROW = 24
const ROW_TEXT = 15.5

/**
 * The card to tape to the machine, as an SVG document for one upright page: each direction's dial with even feeds
 * where they are set, the same as a table, the version, date and hash it comes from, and when to check it.
 *
 * @throws DataError `no-table` without any table
 */
export function dialCard({ tables, dialRange }: DialCard): string {
  const [first] = tables
  if (first === undefined) {
    throw new DataError('no-table', 'There is no table to draw.', sentence`Make one${way('fit')}.`)
  }
  const unit = feedUnit(first.unit)
  const subtitles = tables.map(cardOrigin)
  const top = headingHeight(subtitles) + 8
  const rows = cardRows(tables, dialRange)
  const tableTop = top + DIAL_BLOCK
  const notesTop = tableTop + 34 + Math.ceil(rows.length / 2) * ROW + 26
  const notes = [...standingNotes(tables).flatMap(linesOf), ...cardNotes()]
  return page(
    {
      width: WIDTH,
      height: notesTop + notes.length * 19 + 4,
      title: `${first.machine} · ${first.axis}: where to set the dial, ${unit}`,
      subtitles,
      description: `Dials with the feeds in ${unit} that their settings give, and the same as a table: ${rows
        .map((row) => `${feedWords(row.feed)} ${unit}: ${settingWords(row, first)}`)
        .join('; ')}.`,
    },
    [
      ...tables.map((table, index) => {
        const x = (WIDTH * (2 * index + 1)) / (2 * tables.length)
        const centre = [x, top + DIAL_RADIUS + 34] as const
        return element('g', {}, [dialDrawing(table, { centre, dialRange }), middleOf(table, centre)])
      }),
      ...rowBlocks(rows, tables, tableTop),
      ...notes.map((note, index) => element('text', { x: PAGE_MARGIN, y: notesTop + index * 19 }, [note])),
    ],
  )
}

/** Where a card's direction comes from, in one line. */
export function cardOrigin(table: FeedTable): string {
  const { dial, feedMmPerMin } = measuredRange(table)
  const feeds = feedMmPerMin.map((feed) => feedWords(fromMm(feed, table.unit))).join(' to ')
  return `direction ${printedSign(table.direction)}: table ${table.version} of ${table.fittedAt.slice(0, 10)}, ${table.hash.slice(0, 8)}; measured dial ${formatDial(dial[0], table)} to ${formatDial(dial[1], table)}, ${feeds} ${feedUnit(table.unit)}; method ${table.method.name} ${table.method.version}`
}

/** What stands under every card, on paper and on the screen. */
export function cardNotes(): string[] {
  return [
    '± tells where the feed lies with 95 % probability the next time the dial is set, on any day.',
    'Nothing is known outside the measured range.',
    'Check again after work on gibs, gears, grease, motor or readout, and by: ____________________',
    `${MEASURED_SENTENCE} Try the stops by hand, keep a hand at the lever.`,
    "The machine's manual, the shop's rules and trained people come first.",
  ]
}

/** What stands against the tables of a card, each said once. */
export function standingNotes(tables: readonly FeedTable[]): string[] {
  return [...new Set(tables.flatMap((table) => standingWarnings(table).map((warning) => warning.message)))]
}

/** Characters of a line of text. Judgement: what the width holds in the smaller size. */
const LINE_CHARACTERS = 96

/** A sentence in lines that the card has room for. */
function linesOf(sentence: string): string[] {
  const lines: string[] = []
  for (const word of sentence.split(' ')) {
    const line = lines.at(-1)
    if (line !== undefined && line.length + word.length < LINE_CHARACTERS)
      lines[lines.length - 1] = `${line} ${word}`
    else lines.push(word)
  }
  return lines
}

/** A feed with the digits that a card has room for. */
export function feedWords(feed: number): string {
  return String(Number(feed.toPrecision(3)))
}

/** `± 2.1 %`, or a dash where there is no band. */
export function withinWords(percent: number | null): string {
  return percent === null ? '–' : `± ${Number(percent.toPrecision(2))} %`
}

function middleOf({ direction, unit }: FeedTable, [x, y]: readonly [number, number]): Markup {
  const at = { x, 'text-anchor': 'middle' }
  return element('g', {}, [
    element(
      'text',
      { ...at, y: y + 12, 'font-size': 44, 'font-weight': 'bold', fill: directionStyle(direction).ink },
      [printedSign(direction)],
    ),
    element('text', { ...at, y: y + 34, fill: QUIET_INK }, [feedUnit(unit)]),
  ])
}

/** Two blocks of rows beside each other. */
function rowBlocks(rows: readonly CardRow[], tables: readonly FeedTable[], top: number): Markup[] {
  const half = Math.ceil(rows.length / 2)
  return [rows.slice(0, half), rows.slice(half)].flatMap((block, index) => {
    const left = PAGE_MARGIN + (index * (WIDTH - PAGE_MARGIN)) / 2
    const right = left + (WIDTH - PAGE_MARGIN) / 2 - PAGE_MARGIN
    return block.length === 0 ? [] : [rowBlock(block, tables, { left, right, top })]
  })
}

function rowBlock(
  rows: readonly CardRow[],
  tables: readonly FeedTable[],
  { left, right, top }: { readonly left: number; readonly right: number; readonly top: number },
): Markup {
  const column = (index: number) => left + 92 + index * ((right - left - 92) / tables.length)
  const cell = (x: number, y: number, text: string, bold: boolean) =>
    element('text', bold ? { x, y, 'font-weight': 'bold', 'font-size': ROW_TEXT } : { x, y }, [text])
  return element('g', {}, [
    cell(left, top + 14, feedUnit(tables[0]?.unit ?? 'mm'), false),
    ...tables.map((table, index) =>
      cell(column(index), top + 14, `dial, direction ${printedSign(table.direction)}`, false),
    ),
    line(left, top + 21, right, top + 21, INK),
    ...rows.flatMap((row, place) => {
      const y = top + 40 + place * ROW
      return [
        cell(left, y, feedWords(row.feed), true),
        ...tables.flatMap((table, index) => {
          const setting = row.settings.find(({ direction }) => direction === table.direction)
          if (setting === undefined) return [cell(column(index), y, '–', false)]
          return [
            cell(column(index), y, formatDial(setting.dial, table), true),
            element('text', { x: column(index) + 50, y, fill: QUIET_INK }, [
              withinWords(setting.withinPercent),
            ]),
          ]
        }),
        line(left, y + 7, right, y + 7, GRID_INK),
      ]
    }),
  ])
}

function settingWords({ settings }: CardRow, writing: DialWriting): string {
  return settings
    .map(
      ({ direction, dial, withinPercent }) =>
        `dial ${formatDial(dial, writing)} in direction ${directionWord(direction)}${withinPercent === null ? '' : ` within ${Number(withinPercent.toPrecision(2))} %`}`,
    )
    .join(', ')
}
