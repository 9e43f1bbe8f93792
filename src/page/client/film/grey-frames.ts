import type { GreyFrame } from '../../../ingest/film/index.js'
import type { FrameShares } from './display-frame.js'
import type { Film } from './film.js'

/**
 * Largest size of the display in the pictures that are read, px. Judgement: figures are then 40 px high, twice what is
 * needed, and a minute of film fits into the memory of a phone.
 */
const MOST_HIGH = 52
const MOST_WIDE = 420

/** Goes through a film and cuts the frame out of every picture, grey and small; they stay on this device. */
export async function greyFrames(
  film: Film,
  { left, top, right, bottom }: FrameShares,
  { onFrame, signal }: { readonly onFrame: (atS: number) => void; readonly signal: AbortSignal },
): Promise<GreyFrame[]> {
  const { video } = film
  const [fromX, fromY] = [left * video.videoWidth, top * video.videoHeight]
  const [wide, high] = [(right - left) * video.videoWidth, (bottom - top) * video.videoHeight]
  const scale = Math.min(1, MOST_HIGH / high, MOST_WIDE / wide)
  const canvas = document.createElement('canvas')
  canvas.width = Math.max(8, Math.round(wide * scale))
  canvas.height = Math.max(8, Math.round(high * scale))
  const pen = canvas.getContext('2d', { willReadFrequently: true })
  const frames = new Map<number, GreyFrame>()
  if (pen === null) return []
  pen.imageSmoothingQuality = 'high'
  await film.goThrough((timeS) => {
    onFrame(timeS)
    if (frames.has(timeS)) return
    pen.drawImage(video, fromX, fromY, wide, high, 0, 0, canvas.width, canvas.height)
    const { data, width, height } = pen.getImageData(0, 0, canvas.width, canvas.height)
    const pixels = new Uint8Array(width * height)
    for (let i = 0; i < pixels.length; i += 1) pixels[i] = brightness(data, 4 * i)
    frames.set(timeS, { timeS, width, height, pixels })
  }, signal)
  return [...frames.values()].toSorted((a, b) => a.timeS - b.timeS)
}

/** A frame drawn as a picture again, beside what was read in it. */
export function drawGrey(canvas: HTMLCanvasElement, { width, height, pixels }: GreyFrame): void {
  canvas.width = width
  canvas.height = height
  const data = new ImageData(width, height)
  for (let i = 0; i < pixels.length; i += 1) data.data.set([pixels[i]!, pixels[i]!, pixels[i]!, 255], 4 * i)
  canvas.getContext('2d')?.putImageData(data, 0, 0)
}

/** The brightest of the colours: a red or a blue display is then as bright as a white one. */
function brightness(data: Uint8ClampedArray, at: number): number {
  return Math.max(data[at]!, data[at + 1]!, data[at + 2]!)
}
