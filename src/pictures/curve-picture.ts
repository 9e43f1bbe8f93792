import { DataError, sentence, way } from '../errors/index.js'
import { countOf } from '../text/index.js'
import { directionWord, formatDial, printedSign } from '../units/index.js'
import { curveData, type DirectionData, type DrawnTable, feedUnitOf } from './curve-data.js'
import { deviationPanel } from './deviation-panel.js'
import { dialAxis } from './dial-axis.js'
import { element } from './element.js'
import { feedPanel } from './feed-panel.js'
import { type LegendEntry, legend } from './legend.js'
import { headingHeight, PAGE_MARGIN, page } from './page.js'
import { intervalBar, markSymbol, runSymbol } from './shapes.js'
import { directionStyle, INK, QUIET_INK } from './style.js'

/** Lay-out, px: judgement, by eye. */
const WIDTH = 920
const FEED_HEIGHT = 330
const DEVIATION_HEIGHT = 150
/** Room below and above a panel, and left of it for the labels of the axis, px: judgement, by eye. */
const BELOW = 44
const ABOVE = 26
const AXIS_LEFT = 74

/**
 * The dial curves of an axis as an SVG document: feed against dial with both bands, marks with their intervals and every
 * run; below it for each direction the same as percent of its curve. Line pattern and shape tell directions apart.
 *
 * @param tables of one axis, one a direction
 * @throws DataError `no-table` without any
 */
export function curvePicture(tables: readonly DrawnTable[]): string {
  const data = curveData(tables)
  const [first] = data
  if (first === undefined) {
    throw new DataError('no-table', 'There is no table to draw.', sentence`Make one${way('fit')}.`)
  }
  const subtitles = data.map(
    ({ table }) =>
      `direction ${printedSign(table.direction)}: table ${table.version} of ${table.fittedAt.slice(0, 10)}, ${table.hash.slice(0, 8)}, ${countOf(table.marks.length, 'mark')}, ${countOf(table.runIds.length, 'run')}`,
  )
  const place = { left: AXIS_LEFT, right: WIDTH - PAGE_MARGIN }
  const key = legend(legendEntries(data), { ...place, left: PAGE_MARGIN, top: headingHeight(subtitles) })
  const top = headingHeight(subtitles) + key.height + ABOVE
  const axis = dialAxis(data)
  const feeds = feedPanel(data, { ...place, ...axis, top, bottom: top + FEED_HEIGHT })
  const deviations = data.map((one, index) => {
    const start = top + FEED_HEIGHT + BELOW + ABOVE + index * (DEVIATION_HEIGHT + BELOW + ABOVE)
    return deviationPanel(one, { ...place, ...axis, top: start, bottom: start + DEVIATION_HEIGHT }).drawn
  })
  return page(
    {
      width: WIDTH,
      height: top + FEED_HEIGHT + BELOW + data.length * (DEVIATION_HEIGHT + BELOW + ABOVE) + PAGE_MARGIN / 2,
      title: `${first.table.machine} · ${first.table.axis}: feed against dial`,
      subtitles,
      description: describe(data),
    },
    [key.drawn, feeds.drawn, ...deviations],
  )
}

function legendEntries(data: readonly DirectionData[]): LegendEntry[] {
  const ink = data.length === 1 && data[0] ? directionStyle(data[0].direction).ink : QUIET_INK
  const curved = data.some(({ curve }) => curve.length > 0)
  const banded = data.some(({ marks }) => marks.some((mark) => mark.mean95 !== null))
  const box = (x: number, y: number, opacity: number, dashes?: string) =>
    element('rect', {
      x: x - 14,
      y: y - 6,
      width: 28,
      height: 12,
      fill: ink,
      'fill-opacity': opacity,
      stroke: dashes === undefined ? undefined : ink,
      'stroke-dasharray': dashes,
    })
  const bands: LegendEntry[] = curved
    ? [
        { sample: (x, y) => box(x, y, 0.42), words: 'mean feed, 95 %' },
        { sample: (x, y) => box(x, y, 0.14, '2 3'), words: 'next setting, 95 %' },
      ]
    : [
        {
          sample: (x, y) => intervalBar(x, y - 7, y + 7, { ink, width: 4, cap: 0 }),
          words: 'mean feed, 95 %',
        },
        {
          sample: (x, y) => intervalBar(x, y - 7, y + 7, { ink, width: 1, cap: 4 }),
          words: 'next setting, 95 %',
        },
      ]
  return [
    ...data.map(({ direction, curve }): LegendEntry => {
      const style = directionStyle(direction)
      return {
        sample: (x, y) =>
          element('g', {}, [
            ...(curve.length > 0
              ? [
                  element('line', {
                    x1: x - 17,
                    x2: x + 17,
                    y1: y,
                    y2: y,
                    stroke: style.ink,
                    'stroke-width': 2,
                    'stroke-dasharray': style.dashes,
                  }),
                ]
              : []),
            markSymbol(x, y, style),
          ]),
        words: `marks, direction ${printedSign(direction)}`,
      }
    }),
    ...data.map(
      ({ direction }): LegendEntry => ({
        sample: (x, y) => runSymbol(x, y, directionStyle(direction), false),
        words: `runs, direction ${printedSign(direction)}`,
      }),
    ),
    ...(data.some(({ runs }) => runs.some((run) => run.source === 'stopwatch'))
      ? [
          {
            sample: (x: number, y: number) => runSymbol(x, y, { ...directionStyle(1), ink: INK }, true),
            words: 'timed by stopwatch',
          },
        ]
      : []),
    ...(banded ? bands : []),
  ]
}

function describe(data: readonly DirectionData[]): string {
  const unit = feedUnitOf(data)
  const sentences = data.map(({ direction, table, marks, runs, curve }) => {
    const [low, high] = [marks[0], marks.at(-1)]
    const range =
      low && high
        ? `from ${short(low.feed)} ${unit} at dial ${formatDial(low.dial, table)} to ${short(high.feed)} ${unit} at dial ${formatDial(high.dial, table)}`
        : 'without marks'
    return `Direction ${directionWord(direction)}, drawn with ${directionStyle(direction).words}: ${countOf(marks.length, 'mark')} ${range}, ${countOf(runs.length, 'run')}, ${curve.length > 0 ? 'a curve with its bands between' : 'no curve between'}.`
  })
  return [
    `Feed of the table over the ${data[0]?.table.lettered ? 'letters' : 'numbers'} of the dial, and below it the deviations in percent.`,
    ...sentences,
  ].join(' ')
}

function short(value: number): string {
  return String(Number(value.toPrecision(4)))
}
