import { scaleLinear } from 'd3-scale'
import { area } from 'd3-shape'
import { useRef } from 'preact/hooks'
import { type DirectionData, type DrawnPoint, feedAt } from '../../../../pictures/curve-data.js'
import { directionWord, formatDial } from '../../../../units/index.js'
import { useWidth } from '../use-width.js'
import { Hatch } from './hatch.js'

/** Room around the chart for its labels, and its height, px: judgement, by eye. */
const LEFT = 46
const RIGHT = 14
const TOP = 22
const BOTTOM = 40
const HEIGHT = 200

/** Bands and runs of one direction as percent of its feed: what the curve is too steep to show. */
export function DeviationChart({ shown, dial }: { shown: DirectionData; dial: number | null }) {
  const box = useRef<HTMLDivElement>(null)
  const width = useWidth(box)
  const points = shown.curve.length > 0 ? shown.curve : shown.marks
  const runs = shown.runs.flatMap((run) => {
    const feed = feedAt(shown, run.dial)
    return feed === null ? [] : [{ ...run, percent: percent(run.feed, feed) }]
  })
  const edges = [
    ...points.flatMap((point) =>
      (point.next95 ?? point.mean95 ?? []).map((edge) => percent(edge, point.feed)),
    ),
    ...runs.map((run) => run.percent),
  ]
  const most = Math.max(1, ...edges.map(Math.abs)) * 1.08
  const dials = points.map((point) => point.dial)
  const [low, high] = [Math.min(...dials), Math.max(...dials)]
  const room = (high - low || 1) * 0.02
  const x = scaleLinear([low - room, high + room], [LEFT, width - RIGHT])
  const y = scaleLinear([-most, most], [HEIGHT - BOTTOM, TOP])
  const band = (of: (point: DrawnPoint) => readonly [number, number] | null): string =>
    area<DrawnPoint>()
      .defined((point) => of(point) !== null)
      .x((point) => x(point.dial))
      .y0((point) => y(percent(of(point)?.[0] ?? 0, point.feed)))
      .y1((point) => y(percent(of(point)?.[1] ?? 0, point.feed)))([...points]) ?? ''
  return (
    <div class="chart still" ref={box}>
      {width > 0 && (
        <svg
          width={width}
          height={HEIGHT}
          role="img"
          aria-label="How far bands and runs lie from the curve, in percent"
        >
          {y.ticks(4).map((tick) => (
            <g key={tick}>
              <line class="grid" x1={LEFT} x2={width - RIGHT} y1={y(tick)} y2={y(tick)} />
              <text class="tick" x={LEFT - 7} y={y(tick) + 4.5} text-anchor="end">
                {tick > 0 ? `+${tick}` : tick}
              </text>
            </g>
          ))}
          <text class="title" x={LEFT + 6} y={TOP - 8}>
            runs and bands off the curve, %
          </text>
          <text class="title" x={width - RIGHT} y={HEIGHT - 5} text-anchor="end">
            dial
          </text>
          <g class={`direction ${directionWord(shown.direction)}`}>
            {shown.curve.length > 0 ? (
              <>
                <Hatch id="deviation" />
                <path class="next" fill="url(#deviation)" d={band((point) => point.next95)} />
                <path class="mean" d={band((point) => point.mean95)} />
                <line class="curve" x1={x(low)} x2={x(high)} y1={y(0)} y2={y(0)} />
              </>
            ) : (
              shown.marks.map((mark) => <MarkBar key={mark.dial} mark={mark} x={x} y={y} />)
            )}
            {shown.marks.map((mark) => (
              <text
                class="tick"
                key={mark.dial}
                x={x(mark.dial)}
                y={HEIGHT - BOTTOM + 18}
                text-anchor="middle"
              >
                {formatDial(mark.dial, shown.table)}
              </text>
            ))}
            {runs.map((run, index) =>
              run.source === 'readout' ? (
                <circle key={index} class="run" cx={x(run.dial)} cy={y(run.percent)} r={3.2} />
              ) : (
                <rect
                  key={index}
                  class="run"
                  x={x(run.dial) - 3}
                  y={y(run.percent) - 3}
                  width={6}
                  height={6}
                />
              ),
            )}
          </g>
          {dial !== null && (
            <g class="cursor">
              <line x1={x(dial)} x2={x(dial)} y1={TOP} y2={HEIGHT - BOTTOM} />
            </g>
          )}
        </svg>
      )}
    </div>
  )
}

function MarkBar({
  mark,
  x,
  y,
}: {
  mark: DrawnPoint
  x: (dial: number) => number
  y: (percent: number) => number
}) {
  const edges = mark.next95 ?? mark.mean95
  if (edges === null) return null
  const [low, high] = edges.map((edge) => y(percent(edge, mark.feed))) as [number, number]
  return <line class="bar" x1={x(mark.dial)} x2={x(mark.dial)} y1={low} y2={high} />
}

function percent(feed: number, of: number): number {
  return 100 * (feed / of - 1)
}
