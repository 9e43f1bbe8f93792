import { scaleLinear } from 'd3-scale'
import { cardNotes, cardOrigin } from '../pictures/index.js'
import { feedAtDial, measuredRange, standingWarnings } from '../planning/index.js'
import type { FeedTable, IntervalMmPerMin, MarkFit } from '../regression/index.js'
import { directionWord, feedUnit, fromMm, writeDial } from '../units/index.js'

/** Even dials shown. Judgement: about as many as a page has room for. */
const CURVE_ROWS = 20

/**
 * Tables of one axis as Markdown (CommonMark with the pipe tables of GitHub Flavored Markdown), one a direction, with
 * where each comes from. Names are escaped.
 */
export function tablesToMarkdown(tables: readonly FeedTable[]): string {
  const [first] = tables
  const heading = `# ${escaped(`${first?.machine} ${first?.axis}`)}: feed of each dial setting`
  return `${[
    heading,
    ...tables.map(tableSection),
    cardNotes()
      .map((note) => `- ${escaped(note)}`)
      .join('\n'),
  ].join('\n\n')}\n`
}

function tableSection(table: FeedTable): string {
  const unit = feedUnit(table.unit)
  const marks = [
    `| dial | feed, ${unit} | 95 % interval | next setting 95 % | runs |`,
    '|---:|---:|---|---|---:|',
    ...table.marks.map((mark) => `| ${writeDial(mark.dial, table)} | ${cells(mark, table)} | ${mark.runs} |`),
  ]
  return [
    `## Direction ${directionWord(table.direction)}`,
    escaped(cardOrigin(table)),
    ...standingWarnings(table).map((warning) => `**Note:** ${escaped(warning.message)}`),
    marks.join('\n'),
    ...curve(table),
  ].join('\n\n')
}

function curve(table: FeedTable): string[] {
  if (table.curve.length === 0) return []
  const dials = scaleLinear([...measuredRange(table).dial], [0, 1]).ticks(CURVE_ROWS)
  return [
    'From the curve between the marks:',
    [
      `| dial | feed, ${feedUnit(table.unit)} | 95 % interval | next setting 95 % |`,
      '|---:|---:|---|---|',
      ...dials.map((dial) => {
        const { feed, nextSetting95 } = feedAtDial(table, dial)
        return `| ${dial} | ${cells({ ...feed, nextSetting95 }, table)} |`
      }),
    ].join('\n'),
  ]
}

type Point = Pick<MarkFit, 'feedMmPerMin' | 'interval95' | 'nextSetting95'>

function cells({ feedMmPerMin, interval95, nextSetting95 }: Point, { unit }: FeedTable): string {
  const ends = (interval: IntervalMmPerMin | null) =>
    interval === null ? '–' : interval.map((end) => Number(fromMm(end, unit).toPrecision(4))).join(' … ')
  return [Number(fromMm(feedMmPerMin, unit).toPrecision(4)), ends(interval95), ends(nextSetting95)].join(
    ' | ',
  )
}

function escaped(text: string): string {
  return text.replace(/[\\`*_{}[\]<>#|~]/g, '\\$&').replace(/\s+/g, ' ')
}
