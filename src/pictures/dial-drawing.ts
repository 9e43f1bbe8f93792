import { scaleLinear } from 'd3-scale'
import { arc } from 'd3-shape'
import { dialForFeed, measuredRange } from '../planning/index.js'
import type { FeedTable } from '../regression/index.js'
import { fromMm, lettersBetween, toMm, writeDial } from '../units/index.js'
import { element, type Markup } from './element.js'
import { evenValues } from './even-feeds.js'
import { directionStyle, GRID_INK, INK, PAPER, QUIET_INK } from './style.js'

/** Radius of the drawn dial, px (judgement). */
export const DIAL_RADIUS = 126
/**
 * Where the dial begins and ends, degrees from the top: the 270° of a usual knob (common practice, no source).
 */
const SWEEP_DEGREES: readonly [number, number] = [-135, 135]
/** Room that a label takes along the dial, degrees (judgement: three digits at this radius). */
const LABEL_DEGREES = 9.5

/** Where a dial of this range is drawn. */
interface DrawnDial {
  readonly centre: readonly [x: number, y: number]
  readonly dialRange: readonly [number, number]
}

/** A place on the dial: degrees clockwise from the top. */
function dialAngle([low, high]: readonly [number, number], dial: number): number {
  return scaleLinear([low, high], [...SWEEP_DEGREES])(dial)
}

/** Feeds (machine's unit) that are printed round the dial, rising; the marks' own where there is no curve. */
export function printedFeeds(table: FeedTable, dialRange: readonly [number, number]): number[] {
  if (table.curve.length === 0) return table.marks.map((mark) => fromMm(mark.feedMmPerMin, table.unit))
  const [low, high] = measuredRange(table).feedMmPerMin.map((feed) => fromMm(feed, table.unit)) as [
    number,
    number,
  ]
  return evenValues({
    range: [low, high],
    place: (feed) => dialAngle(dialRange, dialForFeed(table, toMm(feed, table.unit)).dial.value),
    leastApart: LABEL_DEGREES,
  })
}

/** The knob of one direction: its own numbers inside, even feeds outside where they are set, what was not measured grey. */
export function dialDrawing(table: FeedTable, { centre, dialRange }: DrawnDial): Markup {
  const { ink } = directionStyle(table.direction)
  const { dial: measured } = measuredRange(table)
  const [from, to] = measured.map((dial) => dialAngle(dialRange, dial)) as [number, number]
  const feeds = printedFeeds(table, dialRange).map((feed) => ({
    text: String(Number(feed.toPrecision(3))),
    angle: dialAngle(dialRange, dialForFeed(table, toMm(feed, table.unit)).dial.value),
  }))
  const numbers = table.lettered
    ? lettersBetween(...dialRange)
    : scaleLinear([...dialRange], [0, 1])
        .ticks(10)
        .filter((dial) => dial >= dialRange[0] && dial <= dialRange[1])
  return element('g', { transform: `translate(${centre[0]} ${centre[1]})` }, [
    ringPart(SWEEP_DEGREES, GRID_INK, 2),
    ...(to > from ? [ringPart([from, to], ink, 5)] : []),
    ...numbers.flatMap((dial) => {
      const angle = dialAngle(dialRange, dial)
      return [
        tick(angle, DIAL_RADIUS - 9, DIAL_RADIUS - 3, QUIET_INK, 1),
        textAt(angle, DIAL_RADIUS - 20, writeDial(dial, table), { fill: QUIET_INK, 'font-size': 12 }),
      ]
    }),
    ...feeds.flatMap(({ text, angle }) => [
      tick(angle, DIAL_RADIUS, DIAL_RADIUS + 9, ink, 1.6),
      textAt(angle, DIAL_RADIUS + 23, text, { fill: INK, 'font-size': 14.5, 'font-weight': 'bold' }),
    ]),
  ])
}

function ringPart([from, to]: readonly [number, number], ink: string, width: number): Markup {
  const d = arc()({
    innerRadius: DIAL_RADIUS - width / 2,
    outerRadius: DIAL_RADIUS + width / 2,
    startAngle: radians(from),
    endAngle: radians(to),
  })
  return element('path', { d: d ?? '', fill: ink })
}

function tick(angle: number, from: number, to: number, stroke: string, width: number): Markup {
  const [x1, y1] = onDial(angle, from)
  const [x2, y2] = onDial(angle, to)
  return element('line', { x1, y1, x2, y2, stroke, 'stroke-width': width })
}

function textAt(angle: number, radius: number, text: string, style: Record<string, string | number>): Markup {
  const [x, y] = onDial(angle, radius)
  const halo = { stroke: PAPER, 'stroke-width': 3, 'paint-order': 'stroke' }
  return element('text', { x, y: y + 4.5, 'text-anchor': 'middle', ...halo, ...style }, [text])
}

function onDial(angle: number, radius: number): [x: number, y: number] {
  return [radius * Math.sin(radians(angle)), -radius * Math.cos(radians(angle))]
}

function radians(degrees: number): number {
  return (degrees * Math.PI) / 180
}
