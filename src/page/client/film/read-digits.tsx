import { useEffect, useRef, useState } from 'preact/hooks'
import { UsageError } from '../../../errors/index.js'
import { type DisplayLayout, type FilmReading, type GreyFrame, readFilm } from '../../../ingest/film/index.js'
import { parseDialSetting, parseNumber } from '../../../units/index.js'
import { MOST_FILM_POSITIONS } from '../../film-limit.js'
import { RunConditions, useConditions } from '../measure/run-conditions.js'
import { useKept } from '../model/kept.js'
import { tell } from '../model/server.js'
import { giveSignal } from '../model/signals.js'
import { clientId, nextSequence } from '../model/timings.js'
import { usePage } from '../model/use-page.js'
import { CheckField } from '../parts/check-field.js'
import { Notice } from '../parts/notice.js'
import { TextField } from '../parts/text-field.js'
import { useAction } from '../parts/use-action.js'
import { FrameFields, type FrameShares } from './display-frame.js'
import type { Film } from './film.js'
import type { FilmedSetting } from './film-runs.js'
import { type DisplayPictures, greyFrames } from './grey-frames.js'
import { ReadFilm } from './read-film.js'

/** A display as a person last described it; it stays the same from film to film. */
const USUAL_DISPLAY = { digits: '6', decimals: '', sign: false }
/** Decimals of a readout where nobody says, by unit (common practice, no source). */
const USUAL_DECIMALS = { in: '4', mm: '2', deg: '2' } as const

/** What was read of a film, with what it was read as. */
export interface FilmRead {
  readonly frames: readonly GreyFrame[]
  readonly layout: DisplayLayout
  readonly reading: FilmReading
}

/** The program reads the digits in every frame; the person frames the display, and confirms what was read. */
export function ReadDigits({
  film,
  setting,
  frame,
  drawnAtS,
  onFrame,
  onBusy,
}: {
  film: Film
  setting: FilmedSetting
  frame: FrameShares | null
  /** Time of the picture that the frame was drawn on, s. */
  drawnAtS: number
  onFrame: (frame: FrameShares) => void
  /** Told while the film is gone through. */
  onBusy: (isBusy: boolean) => void
}) {
  const { axis, unit, setTake, refresh } = usePage()
  const [display, setDisplay] = useKept(`tablepace.display.${axis.id}`, USUAL_DISPLAY)
  const decimals = display.decimals === '' ? USUAL_DECIMALS[unit] : display.decimals
  const [progress, setProgress] = useState<{ readonly atS: number; readonly stop: () => void } | null>(null)
  const [read, setRead] = useState<FilmRead | null>(null)
  const [sequence, setSequence] = useState<number | null>(null)
  const reading = useAction()
  const keeping = useAction()
  const conditions = useConditions()
  const going = useRef<AbortController | null>(null)
  useEffect(() => () => going.current?.abort(), [])
  // What was read is of the frame and the display as they were.
  useEffect(() => setRead(null), [frame, display])

  const start = (): Promise<boolean> =>
    reading.run(async () => {
      setRead(null)
      const layout = layoutOf(display.digits, decimals, display.sign)
      const stop = new AbortController()
      going.current = stop
      onBusy(true)
      let farthestS = 0
      try {
        const pictures = await greyFrames(
          film,
          { ...frame!, drawnAtS },
          {
            onFrame: (atS) => {
              // Frames that were left out are got at the end.
              farthestS = Math.max(farthestS, atS)
              setProgress({ atS: farthestS, stop: () => stop.abort() })
            },
            signal: stop.signal,
          },
        ).catch(() => {
          throw new UsageError(
            'film-unread',
            'This browser stopped playing the film.',
            'Open the film again, and keep this page in front while it is read.',
          )
        })
        if (stop.signal.aborted) return
        setRead({ frames: pictures.frames, layout, reading: readingOf(pictures, layout) })
        setSequence(null)
      } finally {
        onBusy(false)
        setProgress(null)
      }
    })
  const keep = ({ layout, reading: { positions } }: FilmRead): Promise<boolean> =>
    keeping.run(async () => {
      const named = sequence ?? nextSequence()
      setSequence(named)
      const take = await tell('film/read', {
        ...{ clientId: clientId(), sequence: named, axisId: axis.id },
        ...{ dial: parseDialSetting(setting.dial, 'Dial setting', axis), step: setting.step },
        direction: setting.step === null ? null : setting.direction,
        ...{ unit, decimals: layout.decimals, tags: conditions.tags },
        positions: positions.map(({ timeS, count }) => [Math.round(timeS * 1e4) / 1e4, count]),
      })
      setTake(take)
      giveSignal(take.problem === null ? 'done' : 'trouble')
      setRead(null)
      await refresh()
    })
  return (
    <>
      <h2>Let the program read the digits</h2>
      <p class="quiet">
        Drag a frame over the picture, closely around all digits of this axis and nothing else. The program
        reads seven-segment digits, bright or dark, follows them where the phone was held by hand, and leaves
        out what it is not sure of.
      </p>
      <FrameFields frame={frame} onFrame={onFrame} />
      <div class="fields">
        <TextField
          label="Digits"
          value={display.digits}
          onText={(digits) => setDisplay({ ...display, digits })}
          hint="places, without the sign"
          numeric
        />
        <TextField
          label={`Digits after the point, ${unit}`}
          value={decimals}
          onText={(text) => setDisplay({ ...display, decimals: text })}
          numeric
        />
      </div>
      <CheckField
        label="A place for the sign stands in front of the digits, inside the frame"
        checked={display.sign}
        onChange={(sign) => setDisplay({ ...display, sign })}
      />
      {progress === null ? (
        <div class="buttons">
          <button type="button" class="main" disabled={reading.busy || frame === null} onClick={start}>
            {reading.busy ? 'Reading the digits …' : 'Read the film'}
          </button>
        </div>
      ) : (
        <Progress film={film} atS={progress.atS} onStop={progress.stop} />
      )}
      {reading.trouble !== null && <Notice kind="trouble">{reading.trouble}</Notice>}
      {read !== null && (
        <>
          <ReadFilm read={read} />
          <div class="buttons">
            <button type="button" class="main huge" disabled={keeping.busy} onClick={() => keep(read)}>
              It is right: keep this run
            </button>
          </div>
        </>
      )}
      {keeping.trouble !== null && <Notice kind="trouble">{keeping.trouble}</Notice>}
      <RunConditions conditions={conditions} />
    </>
  )
}

function Progress({ film, atS, onStop }: { film: Film; atS: number; onStop: () => void }) {
  const leftS = (film.durationS - atS) / film.video.playbackRate
  const left =
    leftS < 1
      ? 'almost done'
      : leftS < 90
        ? `about ${Math.ceil(leftS)} s left`
        : `about ${(leftS / 60).toFixed(0)} minutes left`
  return (
    <div class="buttons">
      <progress aria-label="How far the film is read" value={atS} max={film.durationS} />
      <span>{left}; keep this page in front</span>
      <button type="button" class="small" onClick={onStop}>
        Stop
      </button>
    </div>
  )
}

/** @throws UsageError `bad-number`, `bad-display` */
function layoutOf(digitsText: string, decimalsText: string, sign: boolean): DisplayLayout {
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
