import { directionWord, printedSign } from '../units/index.js'
import { type DirectionData, type DrawnPoint, feedAt } from './curve-data.js'
import { element, type Markup } from './element.js'
import { type Panel, type PanelPlace, panel } from './panel.js'
import { bands, besideMark, intervalBars, markSymbol, polyline, runSymbol } from './shapes.js'
import { directionStyle } from './style.js'

/** Widest scale, percent. Judgement: a point further off would squeeze all others into a line. */
const WIDEST_PERCENT = 40
/** Narrowest scale, percent. Judgement: less would make a picture of rounding. */
const NARROWEST_PERCENT = 0.5

/** Bands, marks and runs of one direction as percent of its own curve, where what is too small for the feed shows. */
export function deviationPanel(
  data: DirectionData,
  place: PanelPlace,
): { readonly frame: Panel; readonly drawn: Markup } {
  const style = directionStyle(data.direction, place.inks)
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
  const beside = besideMark(
    frame,
    data.marks.map((mark) => mark.dial),
  )
  const content = [
    ...(data.curve.length > 0
      ? bands(frame, data.curve.flatMap(inPercent), style.ink)
      : data.marks
          .flatMap(inPercent)
          .flatMap((mark) => intervalBars(frame, frame.x(mark.dial), mark, style.ink))),
    ...(data.curve.length > 0
      ? [polyline(frame, zeroLine(data.curve), { ink: style.ink, dashes: style.dashes })]
      : []),
    ...data.marks.flatMap((mark) => {
      const from = feedAt(data, mark.dial)
      if (from === null || from <= 0) return []
      const y = held(frame, 100 * (mark.feed / from - 1), widest)
      return [y.markup(frame.x(mark.dial), (x, at) => markSymbol(x, at, style))]
    }),
    ...runs.map((run) => {
      const x = frame.x(run.dial) + beside
      return held(frame, run.percent, widest).markup(x, (at, y) =>
        runSymbol(at, y, style, run.source === 'stopwatch'),
      )
    }),
  ]
  return { frame, drawn: element('g', {}, [drawn, ...content]) }
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

/** The bands of a place as percent of its feed; none of a place that stands still. */
function inPercent({
  dial,
  feed,
  mean95,
  next95,
}: DrawnPoint): Pick<DrawnPoint, 'dial' | 'mean95' | 'next95'>[] {
  if (feed <= 0) return []
  const percent = (edge: number): number => 100 * (edge / feed - 1)
  const ofFeed = (edges: DrawnPoint['mean95']) =>
    edges === null ? null : ([percent(edges[0]), percent(edges[1])] as const)
  return [{ dial, mean95: ofFeed(mean95), next95: ofFeed(next95) }]
}

function zeroLine(curve: readonly DrawnPoint[]): [number, number][] {
  return [curve[0], curve.at(-1)].flatMap((point) => (point ? [[point.dial, 0]] : []))
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
    markup: (x) => element('path', { d: `M${x} ${edge}l4 ${way * 7}h-8z`, fill: frame.inks.ink }),
  }
}
