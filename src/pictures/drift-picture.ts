import type { ChartPoint, DayPoint, DriftPoint, DriftSection } from '../planning/control-charts/index.js'
import { element, type Markup } from './element.js'
import { type LegendEntry, legend } from './legend.js'
import { headingHeight, PAGE_MARGIN, page } from './page.js'
import { label, line, type Panel, panel } from './panel.js'
import { intervalBar, markSymbol, polyline } from './shapes.js'
import { directionStyle, INK, QUIET_INK } from './style.js'

/** Lay-out, px: judgement, by eye. */
const WIDTH = 920
const CHART_HEIGHT = 340
const AXIS_LEFT = 74
const ABOVE = 42
const BELOW = 44
const LIMIT_INK = '#8a1c1c'
const AVERAGE = { ink: '#7d3c00', dashes: undefined }
/** How limits are drawn: judgement, by eye. */
const LIMIT = { ink: LIMIT_INK, width: 1.5, dashes: '6 4' }
/** Room that a date takes, px: judgement. */
const DATE_ROOM = 78

/** Points that are charted side by side, under one heading within their row. */
interface ChartSection {
  readonly tables: string
  readonly points: readonly ChartPoint[]
}

/** One row of the picture. */
interface ChartRow {
  readonly name: string
  readonly sections: readonly ChartSection[]
  readonly xTitle: string
  readonly yTitle: string
}

/**
 * The control chart of an axis as an SVG document: each recheck with its 95 % interval, in equal steps from left to
 * right; their weighted average; and its limits. A new table begins anew. Below it, in a row of its own, the sessions since
 * the newest table and what each moved all feeds by.
 */
export function driftPicture(
  heading: { readonly title: string; readonly subtitles: readonly string[] },
  sections: readonly DriftSection[],
  days: readonly DayPoint[] = [],
): string {
  const rows: ChartRow[] = [
    { name: 'drift', sections, xTitle: 'rechecks, by date', yTitle: 'feed against the table, percent' },
    {
      name: 'days',
      sections: [{ tables: 'sessions since the newest table', points: days }],
      xTitle: 'sessions, by date',
      yTitle: 'all feeds of the session, percent',
    },
  ].filter((row) => row.sections.some(({ points }) => points.length > 0))
  const first = headingHeight(heading.subtitles) + ABOVE
  const step = CHART_HEIGHT + BELOW + ABOVE
  const bottom = first + (rows.length - 1) * step + CHART_HEIGHT
  const key = legend(LEGEND, { left: AXIS_LEFT, right: WIDTH - PAGE_MARGIN, top: bottom + BELOW })
  return page(
    {
      width: WIDTH,
      height: bottom + BELOW + key.height + PAGE_MARGIN / 2,
      ...heading,
      description: [describe(sections.flatMap((section) => section.points)), ...describeDays(days)].join(' '),
    },
    [...rows.flatMap((row, i) => drawnRow(row, first + i * step)), key.drawn],
  )
}

function drawnRow({ sections, ...titles }: ChartRow, top: number): Markup[] {
  const points = sections.flatMap((section) => section.points)
  const { panel: frame, drawn } = panel({
    ...titles,
    left: AXIS_LEFT,
    right: WIDTH - PAGE_MARGIN,
    top,
    bottom: top + CHART_HEIGHT,
    xDomain: [0.5, points.length + 0.5],
    yDomain: extent(points),
    xTicks: [],
  })
  const parts: Markup[] = [drawn, line(frame.left, frame.y(0), frame.right, frame.y(0), INK)]
  let before = 0
  for (const section of sections) {
    parts.push(...sectionOf(frame, section, before))
    before += section.points.length
  }
  return [...parts, ...dates(frame, points)]
}

function sectionOf(frame: Panel, { tables, points }: ChartSection, before: number): Markup[] {
  const at = (i: number) => before + i + 1
  const edge = frame.x(before + 0.5)
  const along = (value: (point: ChartPoint) => number) =>
    points.map((point, i) => [at(i), value(point)] as const)
  const stepped = (side: 0 | 1) =>
    points.flatMap((point, i) => [-0.5, 0.5].map((way) => [at(i) + way, point.limitsPercent[side]] as const))
  return [
    ...(before === 0 ? [] : [line(edge, frame.top, edge, frame.bottom, QUIET_INK, '2 3')]),
    label(edge + 6, frame.top + 16, tables, 'start'),
    polyline(frame, stepped(0), LIMIT),
    polyline(frame, stepped(1), LIMIT),
    ...points.map((point, i) =>
      intervalBar(frame.x(at(i)), frame.y(point.interval95[0]), frame.y(point.interval95[1]), {
        ink: directionStyle(1).ink,
        width: 1.2,
        cap: 4,
      }),
    ),
    ...points.map((point, i) => markSymbol(frame.x(at(i)), frame.y(point.percent), directionStyle(1))),
    polyline(
      frame,
      along((point) => point.averagePercent),
      AVERAGE,
    ),
    ...points.map((point, i) =>
      element('circle', { cx: frame.x(at(i)), cy: frame.y(point.averagePercent), r: 3, fill: AVERAGE.ink }),
    ),
    ...points.flatMap((point, i) =>
      point.beyond ? [beyondSign(frame.x(at(i)), frame.y(point.averagePercent))] : [],
    ),
  ]
}

function beyondSign(x: number, y: number): Markup {
  return element('circle', { cx: x, cy: y, r: 9, fill: 'none', stroke: LIMIT_INK, 'stroke-width': 2 })
}

const LEGEND: readonly LegendEntry[] = [
  {
    sample: (x, y) =>
      element('g', {}, [
        intervalBar(x, y - 8, y + 8, { ink: directionStyle(1).ink, width: 1.2, cap: 4 }),
        markSymbol(x, y, directionStyle(1)),
      ]),
    words: 'one recheck or session, 95 %',
  },
  { sample: (x, y) => line(x - 17, y, x + 17, y, AVERAGE.ink), words: 'weighted average of them' },
  {
    sample: (x, y) => line(x - 17, y, x + 17, y, LIMIT_INK, LIMIT.dashes),
    words: 'its limits where nothing drifts',
  },
  { sample: beyondSign, words: 'average beyond its limits' },
]

function dates(frame: Panel, points: readonly ChartPoint[]): Markup[] {
  const every = Math.max(1, Math.ceil((DATE_ROOM * points.length) / (frame.right - frame.left)))
  return points.flatMap((point, i) =>
    i % every === 0 ? [label(frame.x(i + 1), frame.bottom + 18, point.at.slice(0, 10), 'middle')] : [],
  )
}

function extent(points: readonly ChartPoint[]): [number, number] {
  const all = points.flatMap((point) => [...point.interval95, ...point.limitsPercent, point.averagePercent])
  const most = Math.max(0.5, ...all.map(Math.abs))
  return [-1.08 * most, 1.08 * most]
}

function describe(points: readonly DriftPoint[]): string {
  const newest = points.at(-1)
  if (newest === undefined) return 'No recheck yet.'
  const side = newest.beyond ? 'beyond' : 'within'
  return `${points.length} rechecks; the newest found the feed ${newest.percent.toFixed(2)} % from the table, and the weighted average is ${newest.averagePercent.toFixed(2)} %, ${side} its limits.`
}

function describeDays(days: readonly DayPoint[]): string[] {
  const newest = days.at(-1)
  if (newest === undefined) return []
  const side = newest.beyond ? 'beyond' : 'within'
  return [
    `${days.length} sessions since the table; the newest fed ${newest.percent.toFixed(2)} % from it, and their weighted average is ${newest.averagePercent.toFixed(2)} %, ${side} its limits.`,
  ]
}
