import { useEffect, useRef, useState } from 'preact/hooks'
import type { Direction } from '../../../traverse/index.js'
import { formatDial } from '../../../units/index.js'
import { CautionsReminder } from '../measure/cautions.js'
import { DialField } from '../measure/dial-field.js'
import { Instruction } from '../measure/instruction.js'
import { runCount } from '../measure/progress.js'
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
  /** As typed, or the mark of the step. */
  readonly dial: string
  readonly direction: Direction
  /** The step of the session that it is made for; null for a run of its own. */
  readonly step: { readonly sessionId: number; readonly step: number } | null
}

/** Runs read off a film of the readout's display, for the session or one by one; the film stays on this device. */
export function FilmRuns() {
  const { axis, take, data } = usePage()
  const { session } = data
  const next = session?.next ?? null
  const [filmed, setFilmed] = useState<'step' | 'other'>('step')
  const asked =
    session === null || next === null || filmed === 'other'
      ? null
      : {
          dial: formatDial(next.dial, axis),
          direction: next.direction,
          step: { sessionId: session.id, step: next.step },
        }
  return (
    <section class="measure film">
      <h1>Runs of {axis.name} by film</h1>
      {session !== null && next !== null && (
        <Choice
          legend="What you film"
          name="filmed-for"
          value={filmed}
          options={[
            { value: 'step' as const, label: runCount(session, next.step) },
            { value: 'other' as const, label: 'Another setting' },
          ]}
          onChange={setFilmed}
        />
      )}
      {session !== null && asked !== null && (
        <Instruction dial={asked.dial} direction={asked.direction} turnAway={session.resetDial}>
          Begin to film before you start the feed, and stop after the table has come to rest.
        </Instruction>
      )}
      <p>
        Film the display of the readout while the table travels, for half a minute or longer, with a phone
        that leans on something or is held as still as you can. Film at the usual speed: slow motion and time
        lapse have wrong times. Then open the film here. It stays on this device and is sent nowhere.
      </p>
      {/* What is made for a step is put away with it: the next step is another film. */}
      <OneFilm key={`${asked?.step.sessionId} ${asked?.step.step}`} asked={asked} />
      {take !== null && <TakeResult take={take} />}
      <CautionsReminder />
      <p class="quiet">
        Set the phone up before the table moves, clear of the table and its handles, and leave it alone until
        the table stands still. Held by hand, stand where you could stand without it, with a hand at the stop.
      </p>
      <p>
        <a class="alone" href={session?.recheck ? '#/check' : '#/measure'}>
          {session === null ? 'Other ways to measure' : 'Back to the session'}
        </a>
      </p>
      <h2>Runs so far</h2>
      <RunList most={8} />
    </section>
  )
}

/** A film and what is read of it. */
function OneFilm({ asked }: { asked: FilmedSetting | null }) {
  const { axis, setTake } = usePage()
  const [film, setFilm] = useState<Film | null>(null)
  const [reader, setReader] = useState<'person' | 'program'>('person')
  const [frame, setFrame] = useState<FrameShares | null>(null)
  /** The picture that the frame was drawn on: held by hand, the display is elsewhere in the next one. */
  const [drawnAtS, setDrawnAtS] = useState(0)
  const draw = (drawn: FrameShares): void => {
    setFrame(drawn)
    setDrawnAtS(film?.atS ?? 0)
  }
  const [own, setOwn] = useState<FilmedSetting>({ dial: '', direction: 1, step: null })
  const setting = asked ?? own
  const [isBusy, setBusy] = useState(false)
  const open = useRef<Film | null>(null)
  open.current = film
  useEffect(() => () => open.current?.close(), [])
  return (
    <>
      <FilmViewer
        film={film}
        isBusy={isBusy}
        onOpen={(opened) => {
          setTake(null)
          setFilm(opened)
          setDrawnAtS(0)
        }}
      >
        {reader === 'program' && <DisplayFrame frame={frame} onFrame={draw} />}
      </FilmViewer>
      {film !== null && (
        <>
          {asked === null && (
            <fieldset class="single" aria-label="What was filmed">
              <DialField axis={axis} text={own.dial} onText={(dial) => setOwn({ ...own, dial })} />
              {reader === 'person' && (
                <Choice
                  legend="Direction"
                  name="filmed-direction"
                  value={own.direction}
                  options={([1, -1] as const).map((value) => ({
                    value,
                    label: wayShown(axis, value),
                    spoken: waySpoken(axis, value),
                  }))}
                  onChange={(direction) => setOwn({ ...own, direction })}
                />
              )}
            </fieldset>
          )}
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
              setting={setting}
              frame={frame}
              drawnAtS={drawnAtS}
              onFrame={draw}
              onBusy={setBusy}
            />
          )}
        </>
      )}
    </>
  )
}
