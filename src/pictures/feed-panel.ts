import { type DirectionData, feedUnitOf } from './curve-data.js'
import { element, type Markup } from './element.js'
import { type Panel, type PanelPlace, panel } from './panel.js'
import { bands, besideMark, intervalBars, markSymbol, polyline, runSymbol } from './shapes.js'
import { directionStyle } from './style.js'

/** Room above the highest feed, share of it: judgement, by eye. */
const HEADROOM = 0.04

/** The dial curves with both bands, marks with their intervals and every run, as feed against dial. */
export function feedPanel(
  data: readonly DirectionData[],
  place: PanelPlace,
): { readonly frame: Panel; readonly drawn: Markup } {
  const highest = Math.max(
    ...data.flatMap(({ curve, marks, runs }) => [
      ...[...curve, ...marks].map((point) => point.next95?.[1] ?? point.feed),
      ...runs.map((run) => run.feed),
    ]),
  )
  const { panel: frame, drawn } = panel({
    name: 'feed',
    ...place,
    yDomain: [0, highest > 0 ? (1 + HEADROOM) * highest : 1],
    xTitle: 'dial',
    yTitle: `feed, ${feedUnitOf(data)}`,
  })
  return { frame, drawn: element('g', {}, [drawn, ...data.flatMap((one) => directionOn(frame, one))]) }
}

function directionOn(frame: Panel, { direction, curve, marks, runs }: DirectionData): Markup[] {
  const style = directionStyle(direction, frame.inks)
  const beside = besideMark(
    frame,
    marks.map((mark) => mark.dial),
  )
  const line = curve.map((point) => [point.dial, point.feed] as const)
  return [
    ...(curve.length > 0
      ? [
          ...bands(frame, curve, style.ink),
          polyline(frame, line, { ink: style.ink, dashes: style.dashes, width: 2 }),
        ]
      : []),
    ...marks.flatMap((mark) => {
      const x = frame.x(mark.dial) + (curve.length > 0 ? 0 : (style.side * beside) / 4)
      return [...intervalBars(frame, x, mark, style.ink), markSymbol(x, frame.y(mark.feed), style)]
    }),
    ...runs.map((run) =>
      runSymbol(
        frame.x(run.dial) + style.side * beside,
        frame.y(run.feed),
        style,
        run.source === 'stopwatch',
      ),
    ),
  ]
}
