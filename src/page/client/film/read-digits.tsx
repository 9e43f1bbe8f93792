import { useEffect, useState } from 'preact/hooks'
import { parseDialSetting } from '../../../units/index.js'
import { RunConditions, useConditions } from '../measure/run-conditions.js'
import { useKept } from '../model/kept.js'
import { tell } from '../model/server.js'
import { usePage } from '../model/use-page.js'
import { CheckField } from '../parts/check-field.js'
import { Notice } from '../parts/notice.js'
import { TextField } from '../parts/text-field.js'
import { FrameFields, type FrameShares } from './display-frame.js'
import type { Film } from './film.js'
import type { FilmedSetting } from './film-runs.js'
import { ReadFilm } from './read-film.js'
import { useKeepFilm } from './use-keep-film.js'
import { type FilmRead, layoutOf, useReading } from './use-reading.js'

/** A display as a person last described it; it stays the same from film to film. */
const USUAL_DISPLAY = { digits: '6', decimals: '', sign: false }
/** Decimals of a readout where nobody says, by unit (common practice, no source). */
const USUAL_DECIMALS = { in: '4', mm: '2', deg: '2' } as const

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
  const { axis, unit } = usePage()
  const [display, setDisplay] = useKept(`tablepace.display.${axis.id}`, USUAL_DISPLAY)
  const decimals = display.decimals === '' ? USUAL_DECIMALS[unit] : display.decimals
  const [read, setRead] = useState<FilmRead | null>(null)
  const reading = useReading(film, onBusy)
  const keeping = useKeepFilm()
  const conditions = useConditions()
  // What was read is of the frame and the display as they were.
  useEffect(() => setRead(null), [frame, display])

  const start = (from: FrameShares): void => {
    setRead(null)
    void reading.read(
      { ...from, drawnAtS },
      () => layoutOf(display.digits, decimals, display.sign),
      (found) => {
        setRead(found)
        keeping.changed()
      },
    )
  }
  const keep = ({ layout, reading: { positions } }: FilmRead): Promise<boolean> =>
    keeping.keep(
      (name) =>
        tell('film/read', {
          ...name,
          ...{ dial: parseDialSetting(setting.dial, 'Dial setting', axis), step: setting.step },
          direction: setting.step === null ? null : setting.direction,
          ...{ unit, decimals: layout.decimals, tags: conditions.tags },
          positions: positions.map(({ timeS, count }) => [Math.round(timeS * 1e4) / 1e4, count]),
        }),
      () => setRead(null),
    )
  return (
    <>
      <h2>Let the program read the digits</h2>
      <p class="quiet">
        Drag a frame over the picture, closely around all digits of this axis and nothing else. The program
        reads seven-segment digits, bright or dark, follows them where the phone was held by hand, and leaves
        out what it is not sure of.
      </p>
      <FrameFields frame={frame} onFrame={onFrame} />
      <DisplayFields
        display={{ ...display, decimals }}
        onChange={(changes) => setDisplay({ ...display, ...changes })}
      />
      {reading.progress === null ? (
        <div class="buttons">
          <button
            type="button"
            class="main"
            disabled={reading.busy || frame === null}
            onClick={() => frame !== null && start(frame)}
          >
            {reading.busy ? 'Reading the digits …' : 'Read the film'}
          </button>
        </div>
      ) : (
        <Progress film={film} atS={reading.progress.atS} onStop={reading.progress.stop} />
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

function DisplayFields({
  display,
  onChange,
}: {
  display: typeof USUAL_DISPLAY
  onChange: (changes: Partial<typeof USUAL_DISPLAY>) => void
}) {
  const { unit } = usePage()
  return (
    <>
      <div class="fields">
        <TextField
          label="Digits"
          value={display.digits}
          onText={(digits) => onChange({ digits })}
          hint="places, without the sign"
          numeric
        />
        <TextField
          label={`Digits after the point, ${unit}`}
          value={display.decimals}
          onText={(decimals) => onChange({ decimals })}
          numeric
        />
      </div>
      <CheckField
        label="A place for the sign stands in front of the digits, inside the frame"
        checked={display.sign}
        onChange={(sign) => onChange({ sign })}
      />
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
