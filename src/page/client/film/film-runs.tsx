import { useEffect, useRef, useState } from 'preact/hooks'
import type { Direction } from '../../../traverse/index.js'
import { CautionsReminder } from '../measure/cautions.js'
import { DialField } from '../measure/dial-field.js'
import { usePage } from '../model/use-page.js'
import { Choice } from '../parts/choice.js'
import { RunList, TakeResult } from '../parts/run-list.js'
import { wayShown, waySpoken } from '../parts/way-words.js'
import { DisplayFrame, type FrameShares } from './display-frame.js'
import type { Film } from './film.js'
import { FilmViewer } from './film-viewer.js'
import { ReadDigits } from './read-digits.js'
import { TypedReadings } from './typed-readings.js'

/** What a film shows the run of. */
export interface FilmedSetting {
  /** As typed. */
  readonly dial: string
  readonly direction: Direction
}

/** Runs read off a film of the readout's display; the film stays on this device. */
export function FilmRuns() {
  const { axis, take, setTake } = usePage()
  const [film, setFilm] = useState<Film | null>(null)
  const [reader, setReader] = useState<'person' | 'program'>('person')
  const [frame, setFrame] = useState<FrameShares | null>(null)
  const [setting, setSetting] = useState<FilmedSetting>({ dial: '', direction: 1 })
  const [isBusy, setBusy] = useState(false)
  const open = useRef<Film | null>(null)
  open.current = film
  useEffect(() => () => open.current?.close(), [])
  return (
    <section class="measure film">
      <h1>Runs of {axis.name} by film</h1>
      <p>
        Film the display of the readout while the table travels, for half a minute or longer, with a phone
        that leans on something. Film at the usual speed: slow motion and time lapse have wrong times. Then
        open the film here. It stays on this device and is sent nowhere.
      </p>
      <FilmViewer
        film={film}
        isBusy={isBusy}
        onOpen={(opened) => {
          setTake(null)
          setFilm(opened)
        }}
      >
        {reader === 'program' && <DisplayFrame frame={frame} onFrame={setFrame} />}
      </FilmViewer>
      {film !== null && (
        <>
          <fieldset class="single" aria-label="What was filmed">
            <DialField axis={axis} text={setting.dial} onText={(dial) => setSetting({ ...setting, dial })} />
            {reader === 'person' && (
              <Choice
                legend="Direction"
                name="filmed-direction"
                value={setting.direction}
                options={([1, -1] as const).map((value) => ({
                  value,
                  label: wayShown(axis, value),
                  spoken: waySpoken(axis, value),
                }))}
                onChange={(direction) => setSetting({ ...setting, direction })}
              />
            )}
          </fieldset>
          <Choice
            legend="Who reads the display"
            name="film-reader"
            value={reader}
            options={[
              { value: 'person' as const, label: 'I type a few' },
              { value: 'program' as const, label: 'The program' },
            ]}
            onChange={setReader}
          />
          {reader === 'person' ? (
            <TypedReadings key={film.video.src} film={film} setting={setting} />
          ) : (
            <ReadDigits
              key={film.video.src}
              film={film}
              dial={setting.dial}
              frame={frame}
              onFrame={setFrame}
              onBusy={setBusy}
            />
          )}
        </>
      )}
      {take !== null && <TakeResult take={take} />}
      <CautionsReminder />
      <p class="quiet">
        Set the phone up before the table moves, clear of the table and its handles, and leave it alone until
        the table stands still.
      </p>
      <p>
        <a href="#/measure">Other ways to measure</a>
      </p>
      <h2>Runs so far</h2>
      <RunList most={8} />
    </section>
  )
}
