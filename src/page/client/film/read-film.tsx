import { scaleLinear } from 'd3-scale'
import { useEffect, useRef } from 'preact/hooks'
import type { GreyFrame } from '../../../ingest/film/index.js'
import { usePage } from '../model/use-page.js'
import { Notice } from '../parts/notice.js'
import { useWidth } from '../parts/use-width.js'
import { wayShown } from '../parts/way-words.js'
import { drawGrey } from './grey-frames.js'
import type { FilmRead } from './use-reading.js'

/** Pictures shown for confirmation. Judgement: the first, the last and three between fit on a phone. */
const SHOWN = 5
/** Share of the frames that may be left out before it is said. Judgement: numbers caught half way are a third at most. */
const LEFT_OUT = 0.5
/** Lay-out of the plot, px: judgement, by eye. */
const HEIGHT = 180
const LEFT = 62
const RIGHT = 12
const TOP = 10
const BOTTOM = 28

/** What was read, to be looked over: pictures of the display beside what was read in them, and where the table was. */
export function ReadFilm({ read }: { read: FilmRead }) {
  const { axis, unit } = usePage()
  const { frames, layout, reading } = read
  const { positions } = reading
  const direction = positions.at(-1)!.count > positions[0]!.count ? 1 : -1
  const pictures = pick(reading.frames, SHOWN).map(({ timeS, count }) => ({
    frame: frames.find((one) => one.timeS === timeS)!,
    text: shown(count, layout.decimals),
  }))
  return (
    <>
      <p role="status" class="strong">
        Read in {reading.frames.length} of {frames.length} frames; {positions.length} positions in direction{' '}
        {wayShown(axis, direction)}.
      </p>
      <p>
        Do the numbers agree with the pictures? Where one does not, set the frame or the count of digits right
        and read the film again.
      </p>
      {reading.leftOut > LEFT_OUT * frames.length && (
        <Notice kind="note">
          More than half of the frames could not be read, so the feed will be less sure.{' '}
          {reading.isTooSlow
            ? 'The last digits change faster than this film can show: film 60 pictures a second where the phone can, or type a few readings by hand.'
            : 'Film nearer and sharper, straight from the front and without reflections, or type a few readings by hand.'}
        </Notice>
      )}
      <ul class="read-pictures">
        {pictures.map(({ frame, text }) => (
          <li key={frame.timeS}>
            <Picture frame={frame} name={`Display at ${frame.timeS.toFixed(1)} s`} />
            <span>
              <strong>{text}</strong> {unit}
            </span>
            <span class="quiet">at {frame.timeS.toFixed(1)} s</span>
          </li>
        ))}
      </ul>
      <Plot read={read} />
    </>
  )
}

function Picture({ frame, name }: { frame: GreyFrame; name: string }) {
  const canvas = useRef<HTMLCanvasElement>(null)
  useEffect(() => {
    if (canvas.current !== null) drawGrey(canvas.current, frame)
  }, [frame])
  return <canvas ref={canvas} role="img" aria-label={name} />
}

/** Position over time, a dot for each that was read. */
function Plot({ read: { reading, layout } }: { read: FilmRead }) {
  const { unit } = usePage()
  const box = useRef<HTMLDivElement>(null)
  const width = useWidth(box)
  const at = reading.positions.map(({ timeS, count }) => [timeS, count / 10 ** layout.decimals] as const)
  const values = at.map(([, value]) => value)
  const x = scaleLinear([at[0]![0], at.at(-1)![0]], [LEFT, width - RIGHT])
  const y = scaleLinear([Math.min(...values), Math.max(...values)], [HEIGHT - BOTTOM, TOP]).nice()
  return (
    <div class="chart still" ref={box}>
      {width > 0 && (
        <svg width={width} height={HEIGHT} role="img" aria-label={`Positions read in ${unit} over the film`}>
          {y.ticks(4).map((tick) => (
            <g key={tick}>
              <line class="grid" x1={LEFT} x2={width - RIGHT} y1={y(tick)} y2={y(tick)} />
              <text class="tick" x={LEFT - 7} y={y(tick) + 4.5} text-anchor="end">
                {tick}
              </text>
            </g>
          ))}
          {x.ticks(5).map((tick) => (
            <text class="tick" key={tick} x={x(tick)} y={HEIGHT - 8} text-anchor="middle">
              {tick} s
            </text>
          ))}
          {at.map(([timeS, value]) => (
            <circle class="read-dot" key={timeS} cx={x(timeS)} cy={y(value)} r={2} />
          ))}
        </svg>
      )}
    </div>
  )
}

/** So many of them, the first and the last among them. */
function pick<T>(all: readonly T[], count: number): T[] {
  const last = all.length - 1
  const places = Array.from({ length: count }, (_, i) => Math.round((i * last) / (count - 1)))
  return [...new Set(places)].map((place) => all[place]!)
}

function shown(count: number, decimals: number): string {
  return (count / 10 ** decimals).toFixed(decimals)
}
