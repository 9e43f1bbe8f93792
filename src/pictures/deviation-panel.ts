import { type DialWriting, directionWord, printedSign } from '../units/index.js'
import { type DirectionData, type DrawnPoint, feedAt } from './curve-data.js'
import { element, type Markup } from './element.js'
import { type Panel, panel } from './panel.js'
import { band, intervalBar, markSymbol, polyline, runSymbol } from './shapes.js'
import { directionStyle, INK } from './style.js'

/** Widest scale, percent. Judgement: a point further off would squeeze all others into a line. */
const WIDEST_PERCENT = 40
/** Narrowest scale, percent. Judgement: less would make a picture of rounding. */
const NARROWEST_PERCENT = 0.5

/** Bands, marks and runs of one direction as percent of its own curve, where what is too small for the feed shows. */
export function deviationPanel(
  data: DirectionData,
  place: {
    readonly left: number
    readonly right: number
    readonly top: number
    readonly bottom: number
    readonly xDomain: readonly [number, number]
    readonly xTicks?: readonly number[]
    readonly xWriting?: DialWriting
  },
): Markup {
  const style = directionStyle(data.direction)
  const points = data.curve.length > 0 ? data.curve : data.marks
  const runs = data.runs.flatMap((run) => {
    const from = feedAt(data, run.dial)
    return from === null || from <= 0 ? [] : [{ ...run, percent: 100 * (run.feed / from - 1) }]
  })
  const widest = widestPercent(points, runs)
  const { panel: frame, drawn } = panel({
    name: `deviation-${directionWord(data.direction)}`,
    ...place,
    yDomain: [-widest, widest],
    xTitle: 'dial',
    yTitle: `direction ${printedSign(data.direction)}: percent of its ${data.curve.length > 0 ? 'curve' : 'marks'}`,
  })
  return element('g', {}, [
    drawn,
    ...(data.curve.length > 0 ? bandsOf(frame, data.curve, style.ink) : barsOf(frame, data.marks, style.ink)),
    ...(data.curve.length > 0
      ? [polyline(frame, bothEnds(data.curve, 0), { ink: style.ink, dashes: style.dashes })]
      : []),
    ...data.marks.flatMap((mark) => {
      const from = feedAt(data, mark.dial)
      if (from === null || from <= 0) return []
      const y = held(frame, 100 * (mark.feed / from - 1), widest)
      return [y.markup(frame.x(mark.dial), (x, at) => markSymbol(x, at, style))]
    }),
    ...runs.map((run) => {
      const x = frame.x(run.dial) + 9
      return held(frame, run.percent, widest).markup(x, (at, y) =>
        runSymbol(at, y, style, run.source === 'stopwatch'),
      )
    }),
  ])
}

function widestPercent(points: readonly DrawnPoint[], runs: readonly { readonly percent: number }[]): number {
  const all = [
    ...points.flatMap(({ feed, next95 }) =>
      next95 === null || feed <= 0 ? [] : next95.map((edge) => Math.abs(100 * (edge / feed - 1))),
    ),
    ...runs.map((run) => Math.abs(run.percent)),
  ]
  return 1.08 * Math.min(WIDEST_PERCENT, Math.max(NARROWEST_PERCENT, ...all))
}

function bandsOf(frame: Panel, curve: readonly DrawnPoint[], ink: string): Markup[] {
  const edges = (which: 'mean95' | 'next95') =>
    curve.flatMap((point) => {
      const interval = point[which]
      if (interval === null || point.feed <= 0) return []
      return [
        {
          at: point.dial,
          low: 100 * (interval[0] / point.feed - 1),
          high: 100 * (interval[1] / point.feed - 1),
        },
      ]
    })
  const [mean, next] = [edges('mean95'), edges('next95')]
  const edgeLine = (side: 'low' | 'high') =>
    polyline(
      frame,
      next.map((edge) => [edge.at, edge[side]] as const),
      { ink, width: 1, dashes: '2 3' },
    )
  return [
    band(frame, next, { ink, opacity: 0.12 }),
    edgeLine('low'),
    edgeLine('high'),
    band(frame, mean, { ink, opacity: 0.3 }),
  ]
}

function barsOf(frame: Panel, marks: readonly DrawnPoint[], ink: string): Markup[] {
  return marks.flatMap(({ dial, feed, mean95, next95 }) => {
    if (mean95 === null || next95 === null || feed <= 0) return []
    const y = (value: number) =>
      Math.min(frame.bottom, Math.max(frame.top, frame.y(100 * (value / feed - 1))))
    const x = frame.x(dial)
    return [
      intervalBar(x, y(next95[0]), y(next95[1]), { ink, width: 1, cap: 4 }),
      intervalBar(x, y(mean95[0]), y(mean95[1]), { ink, width: 4, cap: 0 }),
    ]
  })
}

function bothEnds(curve: readonly DrawnPoint[], value: number): [number, number][] {
  return [curve[0], curve.at(-1)].flatMap((point) => (point ? [[point.dial, value]] : []))
}

/** A place within the panel, or an arrow at its edge for what lies beyond. */
function held(
  frame: Panel,
  percent: number,
  widest: number,
): { markup: (x: number, draw: (x: number, y: number) => Markup) => Markup } {
  if (Math.abs(percent) <= widest) return { markup: (x, draw) => draw(x, frame.y(percent)) }
  const [edge, way] = percent > 0 ? [frame.top, 1] : [frame.bottom, -1]
  return {
    markup: (x) => element('path', { d: `M${x} ${edge}l4 ${way * 7}h-8z`, fill: INK }),
  }
}
