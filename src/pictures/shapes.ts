import { area, line } from 'd3-shape'
import { element, type Markup } from './element.js'
import type { Panel } from './panel.js'
import type { DirectionStyle } from './style.js'

type Point = readonly [x: number, y: number]

/** A line through points in the panel's own units. */
export function polyline({ x, y, clip }: Panel, points: readonly Point[], style: LineStyle): Markup {
  const path = line<Point>(
    ([at]) => x(at),
    ([, value]) => y(value),
  )
  return element('path', {
    d: path([...points]) ?? '',
    fill: 'none',
    stroke: style.ink,
    'stroke-width': style.width ?? 2,
    'stroke-dasharray': style.dashes,
    'stroke-linejoin': 'round',
    'clip-path': clip,
  })
}

interface LineStyle {
  readonly ink: string
  readonly width?: number
  readonly dashes?: string | undefined
}

/** A place on the dial with its two intervals, in the panel's own units. */
interface Banded {
  readonly dial: number
  readonly mean95: readonly [number, number] | null
  readonly next95: readonly [number, number] | null
}

/** Both bands along a curve: the next setting's pale with dotted edges, so that it is told without colour, and the mean's. */
export function bands(frame: Panel, points: readonly Banded[], ink: string): Markup[] {
  const known = (which: 'mean95' | 'next95') =>
    points.flatMap((point) => (point[which] === null ? [] : [{ at: point.dial, edges: point[which] }]))
  const [mean, next] = [known('mean95'), known('next95')]
  const edgeLine = (side: 0 | 1) =>
    polyline(
      frame,
      next.map(({ at, edges }) => [at, edges[side]] as const),
      { ink, width: 1, dashes: '2 3' },
    )
  return [
    band(frame, next, { ink, opacity: 0.13 }),
    edgeLine(0),
    edgeLine(1),
    band(frame, mean, { ink, opacity: 0.3 }),
  ]
}

function band(
  { x, y, clip }: Panel,
  points: readonly { readonly at: number; readonly edges: readonly [number, number] }[],
  fill: { readonly ink: string; readonly opacity: number },
): Markup {
  const path = area<(typeof points)[number]>(
    ({ at }) => x(at),
    ({ edges }) => y(edges[0]),
    ({ edges }) => y(edges[1]),
  )
  return element('path', {
    d: path([...points]) ?? '',
    fill: fill.ink,
    'fill-opacity': fill.opacity,
    'clip-path': clip,
  })
}

/** A mark's symbol, filled, in px. */
export function markSymbol(x: number, y: number, { ink, shape }: DirectionStyle): Markup {
  return symbol(x, y, 5, shape, { fill: ink, stroke: ink })
}

/** How far beside its mark a run is drawn at most, px: judgement, so that neither hides the other. */
const BESIDE = 11

/** How far beside its mark a run is drawn, px, where the marks stand as given: less where they are crowded. */
export function besideMark({ x }: Panel, dials: readonly number[]): number {
  const gaps = dials.slice(1).map((dial, index) => x(dial) - x(dials[index] ?? dial))
  return Math.min(BESIDE, ...gaps.map((gap) => gap / 3))
}

/** A run's symbol, open and small, in px; a stopwatch run has a cross through it. */
export function runSymbol(x: number, y: number, { ink, shape }: DirectionStyle, stopwatch: boolean): Markup {
  const open = symbol(x, y, 3.2, shape, { fill: 'none', stroke: ink })
  if (!stopwatch) return open
  const d = `M${rounded(x - 5)} ${rounded(y)}h10M${rounded(x)} ${rounded(y - 5)}v10`
  return element('g', {}, [open, element('path', { d, stroke: ink, fill: 'none' })])
}

/** The intervals of a mark at x, px: the next setting's thin with caps, the mean's thick; cut at the panel's edges. */
export function intervalBars(
  { y, top, bottom }: Panel,
  x: number,
  { mean95, next95 }: Omit<Banded, 'dial'>,
  ink: string,
): Markup[] {
  const held = (value: number): number => Math.min(bottom, Math.max(top, y(value)))
  const bar = (edges: Banded['mean95'], how: { readonly width: number; readonly cap: number }) =>
    edges === null ? [] : [intervalBar(x, held(edges[0]), held(edges[1]), { ink, ...how })]
  return [...bar(next95, { width: 1, cap: 4 }), ...bar(mean95, { width: 3, cap: 0 })]
}

/** A vertical interval with caps, in px. */
export function intervalBar(
  x: number,
  low: number,
  high: number,
  style: { readonly ink: string; readonly width: number; readonly cap: number },
): Markup {
  const cap = (y: number) => `M${rounded(x - style.cap)} ${rounded(y)}h${2 * style.cap}`
  const d = `M${rounded(x)} ${rounded(low)}V${rounded(high)}${cap(low)}${cap(high)}`
  return element('path', { d, stroke: style.ink, 'stroke-width': style.width, fill: 'none' })
}

function symbol(
  x: number,
  y: number,
  radius: number,
  shape: DirectionStyle['shape'],
  paint: { readonly fill: string; readonly stroke: string },
): Markup {
  if (shape === 'disc') return element('circle', { cx: x, cy: y, r: radius, ...paint })
  const reach = radius * 1.3
  const d = `M${rounded(x)} ${rounded(y - reach)}l${reach} ${reach}l${-reach} ${reach}l${-reach} ${-reach}z`
  return element('path', { d, ...paint })
}

function rounded(value: number): number {
  return Math.round(value * 100) / 100
}
