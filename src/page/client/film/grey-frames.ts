import { type DisplayBox, type GreyFrame, uprightBox } from '../../../ingest/film/index.js'
import type { FrameShares } from './display-frame.js'
import type { Film } from './film.js'

/**
 * Largest size of the display in the pictures that are read, px. Judgement: figures are then 35 px high, half as much again
 * as needed, and a minute of film with what lies around the display fits into the memory of a phone.
 */
const MOST_HIGH = 46
const MOST_WIDE = 380
/** What is kept around the display, as a share of its height: a phone held by hand wanders. Judgement: half a figure. */
const AROUND = 0.5

/** Pictures of a display, grey and small. */
export interface DisplayPictures {
  readonly frames: readonly GreyFrame[]
  /** The frame around the digits, in the picture that it was drawn on. */
  readonly box: DisplayBox
  readonly drawnOn: number
}

/** Goes through a film and cuts the display out of every picture; they stay on this device. */
export async function greyFrames(
  film: Film,
  { left, top, right, bottom, drawnAtS }: FrameShares & { readonly drawnAtS: number },
  { onFrame, signal }: { readonly onFrame: (atS: number) => void; readonly signal: AbortSignal },
): Promise<DisplayPictures> {
  const { video } = film
  const { videoWidth, videoHeight } = video
  const around = AROUND * (bottom - top) * videoHeight
  const fromX = Math.max(0, left * videoWidth - around)
  const fromY = Math.max(0, top * videoHeight - around)
  const wide = Math.min(videoWidth, right * videoWidth + around) - fromX
  const high = Math.min(videoHeight, bottom * videoHeight + around) - fromY
  const scale = Math.min(
    1,
    MOST_HIGH / ((bottom - top) * videoHeight),
    MOST_WIDE / ((right - left) * videoWidth),
  )
  const canvas = document.createElement('canvas')
  canvas.width = Math.max(8, Math.round(wide * scale))
  canvas.height = Math.max(8, Math.round(high * scale))
  const inX = (share: number): number => ((share * videoWidth - fromX) * canvas.width) / wide
  const inY = (share: number): number => ((share * videoHeight - fromY) * canvas.height) / high
  const box = uprightBox(inX(left), inY(top), inX(right), inY(bottom))
  const pen = canvas.getContext('2d', { willReadFrequently: true })
  if (pen === null) return { frames: [], box, drawnOn: 0 }
  const taken = new Map<number, GreyFrame>()
  pen.imageSmoothingQuality = 'high'
  await film.goThrough((timeS) => {
    onFrame(timeS)
    if (taken.has(timeS)) return
    pen.drawImage(video, fromX, fromY, wide, high, 0, 0, canvas.width, canvas.height)
    const { data, width, height } = pen.getImageData(0, 0, canvas.width, canvas.height)
    const pixels = new Uint8Array(width * height)
    for (let i = 0; i < pixels.length; i += 1) pixels[i] = brightness(data, 4 * i)
    taken.set(timeS, { timeS, width, height, pixels })
  }, signal)
  const frames = [...taken.values()].toSorted((a, b) => a.timeS - b.timeS)
  const off = frames.map(({ timeS }) => Math.abs(timeS - drawnAtS))
  return { frames, box, drawnOn: Math.max(0, off.indexOf(Math.min(...off))) }
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
