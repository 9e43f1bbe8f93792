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

/** The area between a lower and an upper edge, in the panel's own units. */
export function band(
  { x, y, clip }: Panel,
  edges: readonly { readonly at: number; readonly low: number; readonly high: number }[],
  fill: { readonly ink: string; readonly opacity: number },
): Markup {
  const path = area<(typeof edges)[number]>(
    ({ at }) => x(at),
    ({ low }) => y(low),
    ({ high }) => y(high),
  )
  return element('path', {
    d: path([...edges]) ?? '',
    fill: fill.ink,
    'fill-opacity': fill.opacity,
    'clip-path': clip,
  })
}

/** A mark's symbol, filled, in px. */
export function markSymbol(x: number, y: number, { ink, shape }: DirectionStyle): Markup {
  return symbol(x, y, 5, shape, { fill: ink, stroke: ink })
}

/** A run's symbol, open and small, in px; a stopwatch run has a cross through it. */
export function runSymbol(x: number, y: number, { ink, shape }: DirectionStyle, stopwatch: boolean): Markup {
  const open = symbol(x, y, 3.2, shape, { fill: 'none', stroke: ink })
  if (!stopwatch) return open
  const d = `M${rounded(x - 5)} ${rounded(y)}h10M${rounded(x)} ${rounded(y - 5)}v10`
  return element('g', {}, [open, element('path', { d, stroke: ink, fill: 'none' })])
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
