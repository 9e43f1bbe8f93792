import { useMemo, useRef } from 'preact/hooks'
import { curveData, type DirectionData, type DrawnPoint } from '../../../pictures/curve-data.js'
import { deviationPanel } from '../../../pictures/deviation-panel.js'
import { dialAxis } from '../../../pictures/dial-axis.js'
import type { Markup } from '../../../pictures/element.js'
import { feedPanel } from '../../../pictures/feed-panel.js'
import type { Panel } from '../../../pictures/panel.js'
import type { Inks } from '../../../pictures/style.js'
import type { StoredTable } from '../../../store/index.js'
import type { Direction } from '../../../traverse/index.js'
import { feedUnit, type LengthUnit } from '../../../units/index.js'
import type { PageRun } from '../../api.js'
import { usePage } from '../model/use-page.js'
import { useWidth } from '../parts/use-width.js'
import { wayShown } from '../parts/way-words.js'

/** Room around a panel for its labels, and the height of the lower one, px: judgement, by eye. */
const LEFT = 46
const RIGHT = 14
const ABOVE = 26
const BELOW = 40
const DEVIATION_HEIGHT = 210

/** The colours of the page, light or dark. */
const PAGE_INKS: Inks = {
  paper: 'var(--paper)',
  ink: 'var(--ink)',
  quiet: 'var(--quiet)',
  grid: 'var(--grid)',
  directions: { 1: 'var(--line)', [-1]: 'var(--second)' },
}

/**
 * The dial curve with its bands and the runs, and below it how far they lie off the curve: the panels of the printed
 * picture at the width of the page. The dial that is looked at can be dragged along.
 */
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
  // Drawn once for what is shown, and not again for each dial that is dragged along.
  const drawing = useMemo(
    () => drawnPanels(drawnData(tables, runs, unit), direction, width, height),
    [tables, runs, unit, direction, width, height],
  )
  if (drawing === null) return null
  const { data, shown, feeds, deviations } = drawing
  const dials = data.flatMap((one) => [...one.curve, ...one.marks]).map((point) => point.dial)
  const drag = (event: PointerEvent): void => {
    if (event.type === 'pointermove' && event.buttons === 0) return
    const svg = event.currentTarget as SVGSVGElement
    if (event.type === 'pointerdown') svg.setPointerCapture(event.pointerId)
    const at = feeds.frame.x.invert(event.clientX - svg.getBoundingClientRect().left)
    onDial(Math.min(Math.max(...dials), Math.max(Math.min(...dials), at)))
  }
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
            <Drawing drawn={feeds.drawn} />
            {dial !== null && <Cursor frame={feeds.frame} dial={dial} feed={nearestFeed(shown, dial)} />}
          </svg>
        )}
        <Key
          directions={data.map((one) => one.direction)}
          stopwatch={runs.some((run) => run.source === 'stopwatch')}
        />
      </div>
      <div class="chart still">
        {width > 0 && (
          <svg
            width={width}
            height={DEVIATION_HEIGHT}
            role="img"
            aria-label="How far bands and runs lie from the curve, in percent"
          >
            <Drawing drawn={deviations.drawn} />
            {dial !== null && <Cursor frame={deviations.frame} dial={dial} feed={null} />}
          </svg>
        )}
      </div>
    </>
  )
}

/** What the program drew; words of the user are escaped in it. */
function Drawing({ drawn }: { drawn: Markup }) {
  return <g dangerouslySetInnerHTML={{ __html: drawn.svg }} />
}

/** Where the dial stands that is looked at, and the feed there. */
function Cursor({ frame, dial, feed }: { frame: Panel; dial: number; feed: number | null }) {
  const [x, y] = [frame.x(dial), feed === null ? null : frame.y(feed)]
  return (
    <g class="cursor">
      <line x1={x} x2={x} y1={frame.top} y2={frame.bottom} />
      {y !== null && <line x1={frame.left} x2={x} y1={y} y2={y} />}
      {y !== null && <circle cx={x} cy={y} r={8} />}
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
      <span class="run-dot">run{stopwatch ? ' (with a cross: by stopwatch)' : ''}</span>
    </p>
  )
}

/** Both panels, the direction that is looked at in front; null without a table. */
function drawnPanels(data: readonly DirectionData[], direction: Direction, width: number, height: number) {
  const shown = data.find((one) => one.direction === direction) ?? data[0]
  if (shown === undefined) return null
  const place = (high: number) => ({
    ...{ left: LEFT, right: width - RIGHT, top: ABOVE, bottom: high - BELOW, inks: PAGE_INKS },
    ...dialAxis(data),
  })
  const behind = data.filter((one) => one !== shown).map(withoutBands)
  return {
    ...{ data, shown },
    feeds: feedPanel([...behind, shown], place(height)),
    deviations: deviationPanel(shown, place(DEVIATION_HEIGHT)),
  }
}

/** Tables in the unit shown, with the runs that each was made from. */
function drawnData(
  tables: readonly StoredTable[],
  runs: readonly PageRun[],
  unit: LengthUnit,
): DirectionData[] {
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

/** The direction that is not looked at: its curve and marks alone, so that the other can be read through it. */
function withoutBands(one: DirectionData): DirectionData {
  const bare = (point: DrawnPoint): DrawnPoint => ({ ...point, mean95: null, next95: null })
  return { ...one, curve: one.curve.map(bare), marks: one.marks.map(bare), runs: [] }
}

/** The feed drawn at a dial: close enough for a dot, the numbers beside come from the lookups. */
function nearestFeed({ curve, marks }: DirectionData, dial: number): number | null {
  const points = curve.length > 0 ? curve : marks
  return (
    points.reduce<DrawnPoint | null>(
      (best, point) =>
        best === null || Math.abs(point.dial - dial) < Math.abs(best.dial - dial) ? point : best,
      null,
    )?.feed ?? null
  )
}
