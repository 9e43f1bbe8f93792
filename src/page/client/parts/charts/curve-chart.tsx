import { scaleLinear } from 'd3-scale'
import { area, line } from 'd3-shape'
import { useRef } from 'preact/hooks'
import { curveData, type DirectionData, type DrawnPoint } from '../../../../pictures/curve-data.js'
import type { StoredTable } from '../../../../store/index.js'
import type { Direction } from '../../../../traverse/index.js'
import { directionWord, feedUnit, formatDial, type LengthUnit, NUMBERED } from '../../../../units/index.js'
import type { PageRun } from '../../../api.js'
import { usePage } from '../../model/use-page.js'
import { useWidth } from '../use-width.js'
import { wayShown } from '../way-words.js'
import { DeviationChart } from './deviation-chart.js'
import { Hatch } from './hatch.js'

/** Room around the chart for its labels, px: judgement, by eye. */
const LEFT = 46
const RIGHT = 14
const TOP = 16
const BOTTOM = 40

/** The dial curve with its bands and the runs; the dial that is looked at can be dragged along. */
export function CurveChart({
  tables,
  runs,
  unit,
  direction,
  dial,
  onDial,
}: {
  tables: readonly StoredTable[]
  runs: readonly PageRun[]
  unit: LengthUnit
  direction: Direction
  dial: number | null
  onDial: (dial: number) => void
}) {
  const box = useRef<HTMLDivElement>(null)
  const width = useWidth(box)
  const height = Math.round(Math.min(440, Math.max(260, width * 0.56)))
  const data = drawn(tables, runs, unit)
  const points = data.flatMap((one) => [...one.curve, ...one.marks])
  const dials = points.map((point) => point.dial)
  const feeds = [
    ...points.flatMap((point) => [point.feed, ...(point.next95 ?? point.mean95 ?? [])]),
    ...data.flatMap((one) => one.runs.map((run) => run.feed)),
  ]
  const [low, high] = [Math.min(...dials), Math.max(...dials)]
  const room = (high - low || 1) * 0.02
  const x = scaleLinear([low - room, high + room], [LEFT, width - RIGHT])
  const y = scaleLinear([Math.min(0, ...feeds), Math.max(...feeds) * 1.03], [height - BOTTOM, TOP])
  const marks = [...new Set(data.flatMap((one) => one.marks.map((mark) => mark.dial)))]

  const drag = (event: PointerEvent): void => {
    if (event.type === 'pointermove' && event.buttons === 0) return
    const svg = event.currentTarget as SVGSVGElement
    if (event.type === 'pointerdown') svg.setPointerCapture(event.pointerId)
    const at = x.invert(event.clientX - svg.getBoundingClientRect().left)
    onDial(Math.min(high, Math.max(low, at)))
  }
  const shown = data.find((one) => one.direction === direction) ?? data[0]
  const here = dial === null || shown === undefined ? null : nearest(shown, dial)
  return (
    <>
      <div class="chart" ref={box}>
        {width > 0 && (
          // The slider beside it does the same by keyboard, and the table says the same in words.
          <svg
            width={width}
            height={height}
            role="img"
            aria-label={`Feed in ${feedUnit(unit)} over the dial, with bands and runs; the table below gives the numbers`}
            onPointerDown={drag}
            onPointerMove={drag}
          >
            {y.ticks(6).map((tick) => (
              <g key={tick}>
                <line class="grid" x1={LEFT} x2={width - RIGHT} y1={y(tick)} y2={y(tick)} />
                <text class="tick" x={LEFT - 7} y={y(tick) + 4.5} text-anchor="end">
                  {tick}
                </text>
              </g>
            ))}
            {thinned(marks, x).map((mark) => (
              <g key={mark}>
                <line class="grid" x1={x(mark)} x2={x(mark)} y1={TOP} y2={height - BOTTOM} />
                <text class="tick" x={x(mark)} y={height - BOTTOM + 18} text-anchor="middle">
                  {formatDial(mark, tables[0] ?? NUMBERED)}
                </text>
              </g>
            ))}
            <text class="title" x={width - RIGHT} y={height - 5} text-anchor="end">
              dial
            </text>
            <text class="title" x={LEFT + 6} y={TOP - 4}>
              {feedUnit(unit)}
            </text>
            {data.map((one) => (
              <DirectionLayer
                key={one.direction}
                one={one}
                x={x}
                y={y}
                active={one.direction === direction}
              />
            ))}
            {dial !== null && (
              <g class="cursor">
                <line x1={x(dial)} x2={x(dial)} y1={TOP} y2={height - BOTTOM} />
                {here !== null && <line x1={LEFT} x2={x(dial)} y1={y(here)} y2={y(here)} />}
                {here !== null && <circle cx={x(dial)} cy={y(here)} r={8} />}
              </g>
            )}
          </svg>
        )}
        <Key
          directions={data.map((one) => one.direction)}
          stopwatch={runs.some((run) => run.source === 'stopwatch')}
        />
      </div>
      {shown !== undefined && <DeviationChart shown={shown} dial={dial} />}
    </>
  )
}

type Scale = (value: number) => number

function DirectionLayer({ one, x, y, active }: { one: DirectionData; x: Scale; y: Scale; active: boolean }) {
  const side = directionWord(one.direction)
  const band = (edges: (point: DrawnPoint) => readonly [number, number] | null) =>
    area<DrawnPoint>()
      .defined((point) => edges(point) !== null)
      .x((point) => x(point.dial))
      .y0((point) => y(edges(point)?.[0] ?? 0))
      .y1((point) => y(edges(point)?.[1] ?? 0))([...one.curve]) ?? ''
  const path = line<DrawnPoint>()
    .x((point) => x(point.dial))
    .y((point) => y(point.feed))([...one.curve])
  return (
    <g class={`direction ${side} ${active ? 'active' : 'other'}`}>
      <Hatch id={`curve-${side}`} />
      {active && <path class="next" fill={`url(#curve-${side})`} d={band((point) => point.next95)} />}
      {active && <path class="mean" d={band((point) => point.mean95)} />}
      <path class="curve" d={path ?? ''} />
      {one.curve.length === 0 &&
        one.marks.map((mark) => (
          <g key={mark.dial}>
            {mark.next95 !== null && (
              <line
                class="bar"
                x1={x(mark.dial)}
                x2={x(mark.dial)}
                y1={y(mark.next95[0])}
                y2={y(mark.next95[1])}
              />
            )}
            <line
              class="curve"
              x1={x(mark.dial) - 9}
              x2={x(mark.dial) + 9}
              y1={y(mark.feed)}
              y2={y(mark.feed)}
            />
          </g>
        ))}
      {active &&
        one.runs.map((run, index) =>
          run.source === 'readout' ? (
            <circle key={index} class="run" cx={x(run.dial)} cy={y(run.feed)} r={3.2} />
          ) : (
            <rect key={index} class="run" x={x(run.dial) - 3} y={y(run.feed) - 3} width={6} height={6} />
          ),
        )}
    </g>
  )
}

function Key({ directions, stopwatch }: { directions: readonly Direction[]; stopwatch: boolean }) {
  const { axis } = usePage()
  return (
    <p class="key">
      {directions.includes(1) && <span class="plus-line">direction {wayShown(axis, 1)}</span>}
      {directions.includes(-1) && <span class="minus-line">direction {wayShown(axis, -1)}</span>}
      <span class="mean-band">mean, 95 %</span>
      <span class="next-band">next time it is set, 95 %</span>
      <span class="run-dot">run{stopwatch ? ' (□ by stopwatch)' : ''}</span>
    </p>
  )
}

/** Tables in the unit shown, with the runs that each was made from. */
function drawn(tables: readonly StoredTable[], runs: readonly PageRun[], unit: LengthUnit): DirectionData[] {
  return curveData(
    tables.map((table) => {
      const used = new Set(table.runIds)
      return {
        table: { ...table, unit },
        runs: runs.flatMap(({ id, dial, feedMmPerMin, source }) =>
          used.has(id) && dial !== 'rapid' && feedMmPerMin !== null ? [{ dial, feedMmPerMin, source }] : [],
        ),
      }
    }),
  )
}

/** The feed drawn at a dial: close enough for a dot, the numbers beside come from the lookups. */
function nearest({ curve, marks }: DirectionData, dial: number): number | null {
  const points = curve.length > 0 ? curve : marks
  return (
    points.reduce<DrawnPoint | null>(
      (best, point) =>
        best === null || Math.abs(point.dial - dial) < Math.abs(best.dial - dial) ? point : best,
      null,
    )?.feed ?? null
  )
}

function thinned(marks: readonly number[], x: Scale): number[] {
  const kept: number[] = []
  for (const mark of marks.toSorted((a, b) => a - b)) {
    const before = kept.at(-1)
    if (before === undefined || x(mark) - x(before) >= 26) kept.push(mark)
  }
  return kept
}
