import { DataError, sentence, way } from '../errors/index.js'
import { directionWord, formatDial, NUMBERED, printedSign } from '../units/index.js'
import { curveData, type DirectionData, type DrawnTable, feedUnitOf } from './curve-data.js'
import { deviationPanel } from './deviation-panel.js'
import { element, type Markup } from './element.js'
import { type LegendEntry, legend } from './legend.js'
import { headingHeight, PAGE_MARGIN, page } from './page.js'
import { type Panel, type PanelOptions, panel } from './panel.js'
import { band, intervalBar, markSymbol, polyline, runSymbol } from './shapes.js'
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
      `direction ${printedSign(table.direction)}: table ${table.version} of ${table.fittedAt.slice(0, 10)}, ${table.hash.slice(0, 8)}, ${plural(table.marks.length, 'mark')}, ${plural(table.runIds.length, 'run')}`,
  )
  const place = { left: AXIS_LEFT, right: WIDTH - PAGE_MARGIN }
  const key = legend(legendEntries(data), { ...place, left: PAGE_MARGIN, top: headingHeight(subtitles) })
  const top = headingHeight(subtitles) + key.height + ABOVE
  const axis = dialAxis(data)
  const feeds = feedPanel(data, { ...place, ...axis, top, bottom: top + FEED_HEIGHT })
  const deviations = data.map((one, index) => {
    const start = top + FEED_HEIGHT + BELOW + ABOVE + index * (DEVIATION_HEIGHT + BELOW + ABOVE)
    return deviationPanel(one, { ...place, ...axis, top: start, bottom: start + DEVIATION_HEIGHT })
  })
  return page(
    {
      width: WIDTH,
      height: top + FEED_HEIGHT + BELOW + data.length * (DEVIATION_HEIGHT + BELOW + ABOVE) + PAGE_MARGIN / 2,
      title: `${first.table.machine} · ${first.table.axis}: feed against dial`,
      subtitles,
      description: describe(data),
    },
    [key.drawn, feeds, ...deviations],
  )
}

function feedPanel(
  data: readonly DirectionData[],
  place: Pick<PanelOptions, 'left' | 'right' | 'top' | 'bottom' | 'xDomain' | 'xTicks' | 'xWriting'>,
): Markup {
  const highest = Math.max(
    ...data.flatMap(({ curve, marks, runs }) => [
      ...[...curve, ...marks].map((point) => point.next95?.[1] ?? point.feed),
      ...runs.map((run) => run.feed),
    ]),
  )
  const { panel: frame, drawn } = panel({
    name: 'feed',
    ...place,
    yDomain: [0, highest > 0 ? 1.04 * highest : 1],
    xTitle: 'dial',
    yTitle: `feed, ${feedUnitOf(data)}`,
  })
  return element('g', {}, [drawn, ...data.flatMap((one) => directionOnFeeds(frame, one))])
}

function directionOnFeeds(frame: Panel, { direction, curve, marks, runs }: DirectionData): Markup[] {
  const style = directionStyle(direction)
  const bandOf = (which: 'mean95' | 'next95', opacity: number) =>
    band(
      frame,
      curve.flatMap((point) => {
        const interval = point[which]
        return interval === null ? [] : [{ at: point.dial, low: interval[0], high: interval[1] }]
      }),
      { ink: style.ink, opacity },
    )
  const line = curve.map((point) => [point.dial, point.feed] as const)
  return [
    ...(curve.length > 0
      ? [
          bandOf('next95', 0.14),
          bandOf('mean95', 0.3),
          polyline(frame, line, { ink: style.ink, dashes: style.dashes, width: 1.6 }),
        ]
      : []),
    ...marks.flatMap((mark) => {
      const x = frame.x(mark.dial) + (curve.length > 0 ? 0 : style.aside / 2)
      const bars = (
        [
          [mark.next95, { ink: style.ink, width: 1, cap: 4 }],
          [mark.mean95, { ink: style.ink, width: 3, cap: 0 }],
        ] as const
      ).flatMap(([interval, how]) =>
        interval === null ? [] : [intervalBar(x, frame.y(interval[0]), frame.y(interval[1]), how)],
      )
      return [...bars, markSymbol(x, frame.y(mark.feed), style)]
    }),
    ...runs.map((run) =>
      runSymbol(frame.x(run.dial) + 2.2 * style.aside, frame.y(run.feed), style, run.source === 'stopwatch'),
    ),
  ]
}

/** Marks up to which each is labelled. Judgement: more labels overlap. */
const MARKS_TO_LABEL = 4

/** From the lowest to the highest mark with a little room, labelled at the marks. */
function dialAxis(
  data: readonly DirectionData[],
): Pick<PanelOptions, 'xDomain'> & Partial<Pick<PanelOptions, 'xTicks' | 'xWriting'>> {
  const dials = [...new Set(data.flatMap(({ marks }) => marks.map((mark) => mark.dial)))].sort(
    (a, b) => a - b,
  )
  const [low, high] = [dials[0] ?? 0, dials.at(-1) ?? 1]
  const room = high > low ? 0.04 * (high - low) : 1
  const xDomain: [number, number] = [low - room, high + room]
  const { lettered } = data[0]?.table ?? NUMBERED
  return dials.length < MARKS_TO_LABEL && !lettered
    ? { xDomain }
    : { xDomain, xTicks: dials, xWriting: { lettered } }
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
    return `Direction ${directionWord(direction)}, drawn with ${directionStyle(direction).words}: ${plural(marks.length, 'mark')} ${range}, ${plural(runs.length, 'run')}, ${curve.length > 0 ? 'a curve with its bands between' : 'no curve between'}.`
  })
  return [
    `Feed of the table over the ${data[0]?.table.lettered ? 'letters' : 'numbers'} of the dial, and below it the deviations in percent.`,
    ...sentences,
  ].join(' ')
}

function short(value: number): string {
  return String(Number(value.toPrecision(4)))
}

function plural(count: number, noun: string): string {
  return `${count} ${noun}${count === 1 ? '' : 's'}`
}
