import { useEffect, useRef, useState } from 'preact/hooks'
import { UsageError } from '../../../errors/index.js'
import { type DisplayLayout, type FilmReading, type GreyFrame, readFilm } from '../../../ingest/film/index.js'
import { parseNumber } from '../../../units/index.js'
import { MOST_FILM_POSITIONS } from '../../limits.js'
import { useAction } from '../parts/use-action.js'
import type { FrameShares } from './display-frame.js'
import type { Film } from './film.js'
import { type DisplayPictures, greyFrames } from './grey-frames.js'

/** What was read of a film, with what it was read as. */
export interface FilmRead {
  readonly frames: readonly GreyFrame[]
  readonly layout: DisplayLayout
  readonly reading: FilmReading
}

/**
 * Goes through a film and reads the display in every frame.
 *
 * @param onBusy told while the film is gone through
 */
export function useReading(film: Film, onBusy: (isBusy: boolean) => void) {
  const [progress, setProgress] = useState<{ readonly atS: number; readonly stop: () => void } | null>(null)
  const { busy, trouble, run } = useAction()
  const going = useRef<AbortController | null>(null)
  useEffect(() => () => going.current?.abort(), [])
  const read = (
    frame: FrameShares & { readonly drawnAtS: number },
    display: () => DisplayLayout,
    found: (read: FilmRead) => void,
  ): Promise<boolean> =>
    run(async () => {
      const layout = display()
      const stop = new AbortController()
      going.current = stop
      onBusy(true)
      let farthestS = 0
      const onFrame = (atS: number): void => {
        // Frames that were left out are got at the end.
        farthestS = Math.max(farthestS, atS)
        setProgress({ atS: farthestS, stop: () => stop.abort() })
      }
      try {
        const pictures = await greyFrames(film, frame, { onFrame, signal: stop.signal }).catch(() => {
          throw new UsageError(
            'film-unread',
            'This browser stopped playing the film.',
            'Open the film again, and keep this page in front while it is read.',
          )
        })
        if (!stop.signal.aborted)
          found({ frames: pictures.frames, layout, reading: readingOf(pictures, layout) })
      } finally {
        onBusy(false)
        setProgress(null)
      }
    })
  return { busy, trouble, progress, read }
}

/** @throws UsageError `bad-number`, `bad-display` */
export function layoutOf(digitsText: string, decimalsText: string, sign: boolean): DisplayLayout {
  const digits = parseNumber(digitsText, 'Digits')
  const decimals = parseNumber(decimalsText, 'Digits after the point')
  const isCount = (value: number): boolean => Number.isInteger(value) && value >= 0
  if (
    isCount(digits) &&
    isCount(decimals) &&
    digits >= 2 &&
    digits <= 9 &&
    decimals <= 6 &&
    decimals < digits
  )
    return { digits, decimals, sign }
  throw new UsageError(
    'bad-display',
    `A display of ${digits} digits with ${decimals} after the point cannot be read.`,
    'Count the places of the display: 2 to 9, with fewer of them after the point.',
  )
}

/** @throws UsageError `film-unread` where there is nothing to confirm */
function readingOf({ frames, box, drawnOn }: DisplayPictures, layout: DisplayLayout): FilmReading {
  const reading = readFilm(frames, box, layout, drawnOn)
  if (reading?.hasMoreDigits) {
    throw new UsageError(
      'film-unread',
      `More than ${layout.digits} digits${layout.sign ? ' and their sign' : ''} stand in the frame.`,
      'Count the digits again, say whether a sign stands in front of them, or draw the frame around those of this axis alone.',
    )
  }
  if (reading?.isTooSlow && reading.positions.length < 2) {
    throw new UsageError(
      'film-unread',
      'The last digits change faster than this film can show.',
      'Film 60 pictures a second where the phone can, or type a few readings by hand.',
    )
  }
  if (reading === null || reading.positions.length < 2) {
    throw new UsageError(
      'film-unread',
      'No digits could be read with certainty.',
      'Check the frame and the count of digits. Film nearer and sharper, straight from the front, without reflections. Or type a few readings by hand.',
    )
  }
  if (reading.positions.length <= MOST_FILM_POSITIONS) return reading
  throw new UsageError(
    'film-unread',
    `The film shows ${reading.positions.length} positions, more than the ${MOST_FILM_POSITIONS} of one run.`,
    'Cut it shorter: a minute of steady travel is plenty.',
  )
}
