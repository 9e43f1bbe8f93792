import { type ScaleLinear, scaleLinear } from 'd3-scale'
import { type DialWriting, formatDial, NUMBERED } from '../units/index.js'
import { element, type Markup } from './element.js'
import { type Inks, PRINTED } from './style.js'

/** A frame with two axes to draw in. */
export interface Panel {
  readonly x: ScaleLinear<number, number>
  readonly y: ScaleLinear<number, number>
  readonly left: number
  readonly right: number
  readonly top: number
  readonly bottom: number
  /** For `clip-path`, so that nothing is drawn outside. */
  readonly clip: string
  readonly inks: Inks
}

/** Where a panel stands, px, and its horizontal axis. */
export interface PanelPlace {
  readonly left: number
  readonly right: number
  readonly top: number
  readonly bottom: number
  readonly xDomain: readonly [number, number]
  /** Places of the x axis that must be labelled, such as the marks of a dial; even ticks otherwise. */
  readonly xTicks?: readonly number[]
  /** How those are written. */
  readonly xWriting?: DialWriting
  /** What it is drawn with; as on paper unless told. */
  readonly inks?: Inks
}

interface PanelOptions extends PanelPlace {
  /** Told apart from the other panels of the page. */
  readonly name: string
  readonly yDomain: readonly [number, number]
  readonly xTitle: string
  readonly yTitle: string
}

/** Room that a label of an axis takes, px (judgement). */
const LABEL_ROOM = 34

/** A panel, and the grid, axes and titles to draw before anything else. */
export function panel(options: PanelOptions): { panel: Panel; drawn: Markup } {
  const { name, left, right, top, bottom, inks = PRINTED } = options
  const x = scaleLinear([...options.xDomain], [left, right])
  const y = scaleLinear([...options.yDomain], [bottom, top])
  const yTicks = y.ticks(Math.max(3, Math.round((bottom - top) / 50)))
  const xTicks = thinned(options.xTicks ?? x.ticks(10), x)
  const [xFormat, yFormat] = [x.tickFormat(10), y.tickFormat(yTicks.length)]
  const xText = (tick: number) =>
    options.xTicks ? formatDial(tick, options.xWriting ?? NUMBERED) : xFormat(tick)
  const drawn = element('g', {}, [
    element('clipPath', { id: name }, [
      element('rect', { x: left, y: top, width: right - left, height: bottom - top }),
    ]),
    ...yTicks.map((tick) => line(left, y(tick), right, y(tick), inks.grid)),
    ...xTicks.map((tick) => line(x(tick), top, x(tick), bottom, inks.grid)),
    line(left, bottom, right, bottom, inks.ink),
    line(left, top, left, bottom, inks.ink),
    ...yTicks.map((tick) => label(left - 7, y(tick) + 4.5, yFormat(tick), 'end', inks)),
    ...xTicks.map((tick) => label(x(tick), bottom + 18, xText(tick), 'middle', inks)),
    element('text', { x: right, y: bottom + 36, 'text-anchor': 'end', fill: inks.quiet }, [options.xTitle]),
    element('text', { x: left, y: top - 9, fill: inks.quiet }, [options.yTitle]),
  ])
  return { panel: { x, y, left, right, top, bottom, clip: `url(#${name})`, inks }, drawn }
}

export function line(
  x1: number,
  y1: number,
  x2: number,
  y2: number,
  stroke: string,
  dashes?: string,
): Markup {
  return element('line', { x1, y1, x2, y2, stroke, 'stroke-dasharray': dashes })
}

/** Text with the paper behind its letters, readable also over lines. */
export function label(
  x: number,
  y: number,
  text: string,
  anchor: 'start' | 'middle' | 'end',
  { paper }: Inks = PRINTED,
): Markup {
  return element(
    'text',
    { x, y, 'text-anchor': anchor, stroke: paper, 'stroke-width': 3, 'paint-order': 'stroke' },
    [text],
  )
}

function thinned(ticks: readonly number[], x: ScaleLinear<number, number>): number[] {
  const kept: number[] = []
  for (const tick of ticks) {
    const before = kept.at(-1)
    if (before === undefined || x(tick) - x(before) >= LABEL_ROOM) kept.push(tick)
  }
  return kept
}
