import { scaleLinear } from 'd3-scale'
import { useEffect, useRef } from 'preact/hooks'
import { feedUnit, formatLength, fromMm, type LengthUnit } from '../../../../units/index.js'
import type { LiveTrack } from '../../model/live-track.js'
import { useWidth } from '../../parts/use-width.js'

/** The stretch of time that is shown, s. Judgement: a traverse with its rests. */
const SHOWN_S = 45
/** Lay-out, px: judgement, by eye. */
const HEIGHT = 220
const LEFT = 58
const RIGHT = 10
const TOP = 30
const BOTTOM = 26

/** Position and speed of the table just now, large; nothing where the readout says nothing. */
export function Readings({ track, unit }: { track: LiveTrack; unit: LengthUnit }) {
  const position = useRef<HTMLElement>(null)
  const speed = useRef<HTMLElement>(null)
  useDrawing(track, () => {
    const { positionMm, speedMmPerMin } = track.now
    const at = track.silent ? null : positionMm
    const shown = fromMm(Math.abs(speedMmPerMin), unit).toFixed(unit === 'in' ? 2 : 0)
    if (position.current) position.current.textContent = at === null ? '–' : formatLength(at, unit)
    if (speed.current) speed.current.textContent = at === null ? '–' : `${shown} ${feedUnit(unit)}`
  })
  return (
    <dl class="readings">
      <div>
        <dt>Position</dt>
        <dd ref={position}>–</dd>
      </div>
      <div>
        <dt>Speed now</dt>
        <dd ref={speed}>–</dd>
      </div>
    </dl>
  )
}

/** The track of the last moments with its phases. */
export function TrackChart({ track, unit }: { track: LiveTrack; unit: LengthUnit }) {
  const box = useRef<HTMLDivElement>(null)
  const canvas = useRef<HTMLCanvasElement>(null)
  const width = useWidth(box)
  useDrawing(track, () => {
    if (canvas.current && width > 0) drawTrack(canvas.current, track, unit, width)
  })
  return (
    <div class="live" ref={box}>
      <canvas ref={canvas} role="img" aria-label={`Position of the table in ${unit} over the last moments`} />
    </div>
  )
}

/** Draws once a frame at most, and only when something came: the rest of the page is not touched. */
function useDrawing(track: LiveTrack, draw: () => void): void {
  const latest = useRef(draw)
  latest.current = draw
  useEffect(() => {
    let waiting = 0
    const drawNow = (): void => {
      waiting = 0
      latest.current()
    }
    const end = track.watch(() => {
      waiting ||= requestAnimationFrame(drawNow)
    })
    return () => {
      cancelAnimationFrame(waiting)
      end()
    }
  }, [track])
  // What is drawn depends on unit and width as well.
  useEffect(() => draw())
}

function drawTrack(canvas: HTMLCanvasElement, track: LiveTrack, unit: LengthUnit, width: number): void {
  const scale = devicePixelRatio || 1
  if (canvas.width !== Math.round(width * scale)) {
    canvas.width = Math.round(width * scale)
    canvas.height = Math.round(HEIGHT * scale)
    canvas.style.width = `${width}px`
    canvas.style.height = `${HEIGHT}px`
  }
  const pen = canvas.getContext('2d')
  if (pen === null) return
  const style = getComputedStyle(canvas)
  const ink = (name: string): string => style.getPropertyValue(name)
  pen.setTransform(scale, 0, 0, scale, 0, 0)
  pen.clearRect(0, 0, width, HEIGHT)
  pen.font = `13px ${style.fontFamily}`
  const endS = track.timeS.at(-1) ?? 0
  const fromS = endS - SHOWN_S
  const first = Math.max(
    0,
    track.timeS.findIndex((at) => at >= fromS),
  )
  const positions = track.positionMm.slice(first).map((at) => fromMm(at, unit))
  const low = positions.reduce((least, at) => Math.min(least, at), Number.POSITIVE_INFINITY)
  const high = positions.reduce((most, at) => Math.max(most, at), Number.NEGATIVE_INFINITY)
  const least = unit === 'in' ? 0.1 : 2
  const spare = Math.max(least, high - low) * 0.08
  const x = scaleLinear([fromS, endS], [LEFT, width - RIGHT])
  const y = scaleLinear(
    positions.length === 0 ? [0, 1] : [low - spare, Math.max(high, low + least) + spare],
    [HEIGHT - BOTTOM, TOP],
  )
  for (const phase of track.phases) {
    pen.fillStyle = ink('--steady')
    const from = Math.max(LEFT, x(phase.steadyFromS))
    if (x(phase.steadyToS) > from) pen.fillRect(from, TOP, x(phase.steadyToS) - from, HEIGHT - BOTTOM - TOP)
  }
  pen.strokeStyle = ink('--grid')
  pen.fillStyle = ink('--quiet')
  pen.lineWidth = 1
  pen.textAlign = 'right'
  for (const tick of y.ticks(4)) {
    stroke(pen, [
      [LEFT, y(tick)],
      [width - RIGHT, y(tick)],
    ])
    pen.fillText(y.tickFormat(4)(tick), LEFT - 7, y(tick) + 4.5)
  }
  pen.textAlign = 'center'
  for (let back = 0; back <= SHOWN_S; back += 15) {
    pen.textAlign = back === 0 ? 'right' : 'center'
    pen.fillText(back === 0 ? 'now' : `−${back} s`, x(endS - back), HEIGHT - 7)
  }
  pen.textAlign = 'right'
  pen.fillText(unit, LEFT - 7, TOP - 11)
  drawPhases(pen, track, x, ink)
  pen.strokeStyle = ink('--line')
  pen.lineWidth = 2.5
  pen.lineJoin = 'round'
  // More points than px do not show.
  const every = Math.max(1, Math.floor(positions.length / (2 * width)))
  stroke(
    pen,
    positions.flatMap((at, index) =>
      index % every === 0 || index === positions.length - 1 ? [[x(track.timeS[first + index]!), y(at)]] : [],
    ),
  )
}

type Pen = CanvasRenderingContext2D

/** Edges and words: what was seen at once, and the phases once the run is judged. */
function drawPhases(
  pen: Pen,
  track: LiveTrack,
  x: (atS: number) => number,
  ink: (name: string) => string,
): void {
  pen.strokeStyle = ink('--quiet')
  pen.fillStyle = ink('--ink')
  pen.setLineDash([5, 4])
  const words: { readonly text: string; readonly at: number }[] = []
  const edge = (atS: number): void => {
    if (x(atS) < LEFT) return
    stroke(pen, [
      [x(atS), TOP - 6],
      [x(atS), HEIGHT - BOTTOM],
    ])
  }
  for (const { startS, steadyFromS, steadyToS, endS } of track.phases) {
    for (const atS of [startS, steadyFromS, steadyToS, endS]) edge(atS)
    if (x(steadyToS) > LEFT + 40)
      words.push({ text: 'steady', at: Math.max(LEFT, (x(steadyFromS) + x(steadyToS)) / 2 - 20) })
    if (x(endS) > LEFT) words.push({ text: 'rest', at: x(endS) + 5 })
  }
  for (const { atS, word } of track.marks) {
    edge(atS)
    if (x(atS) >= LEFT) words.push({ text: word, at: x(atS) + 4 })
  }
  pen.textAlign = 'left'
  // The newest first: an older word that would run into it is left out.
  let free = Number.POSITIVE_INFINITY
  for (const { text, at } of words.sort((a, b) => b.at - a.at)) {
    if (at + pen.measureText(text).width + 6 > free) continue
    pen.fillText(text, at, TOP - 11)
    free = at
  }
  pen.setLineDash([])
}

function stroke(pen: Pen, points: readonly (readonly number[])[]): void {
  pen.beginPath()
  for (const [index, [px = 0, py = 0]] of points.entries()) {
    if (index === 0) pen.moveTo(px, py)
    else pen.lineTo(px, py)
  }
  pen.stroke()
}
