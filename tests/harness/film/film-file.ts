import type { Page } from 'playwright-core'
import type { FilmedDisplay, FilmedFrame } from './filmed-display.js'
import { type CodedFrame, webmFilm } from './webm.js'

/** Frames from one key picture to the next, as phones have them (common practice, no source). */
const KEY_EVERY = 15

/**
 * A real film of a drawn display: the browser of the page codes its pictures, each on a larger dark ground.
 *
 * @param page one of our own address, since a browser codes films nowhere else
 */
export async function filmFile(
  page: Page,
  film: Pick<FilmedDisplay, 'width' | 'height'>,
  frames: readonly FilmedFrame[],
  framesPerS: number,
): Promise<Buffer> {
  const [width, height] = [2 * Math.ceil(film.width / 2) + 80, 2 * Math.ceil(film.height / 2) + 60]
  const coded: CodedFrame[] = []
  // A part at a time: what goes to the browser and back goes as text.
  const grey = frames.map(({ pixels }) => Buffer.from(pixels).toString('base64'))
  const timesS = frames.map(({ timeS }) => timeS)
  const chunks = await page.evaluate(codeFilm, {
    ...{ grey, timesS, width, height, inner: film.width, framesPerS, keyEvery: KEY_EVERY },
  })
  for (const [timeUs, isKey, data] of chunks)
    coded.push({ timeS: timeUs / 1e6, isKey, data: Buffer.from(data, 'base64') })
  return webmFilm(width, height, coded, timesS.at(-1)! + 1 / framesPerS)
}

interface FilmToCode {
  readonly grey: readonly string[]
  /** When each picture belongs. */
  readonly timesS: readonly number[]
  readonly width: number
  readonly height: number
  /** Width of the drawn pictures; they lie 40 px from the left and 30 px from the top. */
  readonly inner: number
  readonly framesPerS: number
  readonly keyEvery: number
}

/** Runs in the browser. */
async function codeFilm(film: FilmToCode): Promise<[number, boolean, string][]> {
  const { grey, timesS, width, height, inner, framesPerS, keyEvery } = film
  // The types of a browser are not known here.
  const { VideoEncoder, VideoFrame, btoa, atob } = globalThis as unknown as BrowserCodec
  const coded: [number, boolean, string][] = []
  const encoder = new VideoEncoder({
    output: (chunk) => {
      const bytes = new Uint8Array(chunk.byteLength)
      chunk.copyTo(bytes)
      let text = ''
      for (const byte of bytes) text += String.fromCharCode(byte)
      coded.push([chunk.timestamp, chunk.type === 'key', btoa(text)])
    },
    error: (error) => {
      throw error
    },
  })
  encoder.configure({
    codec: 'vp8',
    width,
    height,
    bitrate: 6_000_000,
    framerate: framesPerS,
    latencyMode: 'realtime',
  })
  for (const [index, text] of grey.entries()) {
    const pixels = atob(text)
    const data = new Uint8Array(width * height * 4)
    const words = new Uint32Array(data.buffer).fill(0xff1e1e1e)
    for (let i = 0; i < pixels.length; i += 1)
      words[(30 + Math.floor(i / inner)) * width + 40 + (i % inner)] =
        (0xff000000 | (pixels.charCodeAt(i) * 0x010101)) >>> 0
    const timestamp = Math.round(timesS[index]! * 1e6)
    const frame = new VideoFrame(data, { format: 'RGBX', codedWidth: width, codedHeight: height, timestamp })
    encoder.encode(frame, { keyFrame: index % keyEvery === 0 })
    frame.close()
  }
  await encoder.flush()
  return coded
}

interface BrowserCodec {
  readonly VideoEncoder: new (on: {
    output: (chunk: {
      byteLength: number
      timestamp: number
      type: string
      copyTo: (to: Uint8Array) => void
    }) => void
    error: (error: Error) => void
  }) => {
    configure: (how: object) => void
    encode: (frame: unknown, how: object) => void
    flush: () => Promise<void>
  }
  readonly VideoFrame: new (data: Uint8Array, how: object) => { close: () => void }
  readonly btoa: (text: string) => string
  readonly atob: (text: string) => string
}
