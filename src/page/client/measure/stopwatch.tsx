import { useEffect, useMemo, useState } from 'preact/hooks'
import type { Direction } from '../../../traverse/index.js'
import { formatDial, fromMm, parseLengthMm, parseNumber } from '../../../units/index.js'
import type { SessionState } from '../../api.js'
import { useScreenOn } from '../model/screen-on.js'
import { Timings, type WaitingTiming } from '../model/timings.js'
import { usePage } from '../model/use-page.js'
import { type Stopwatch, useStopwatch } from '../model/use-stopwatch.js'
import { CautionsDialog, CautionsReminder } from '../parts/cautions.js'
import { Choice } from '../parts/choice.js'
import { DialField, dialOf } from '../parts/dial-field.js'
import { Notice } from '../parts/notice.js'
import { Elapsed, PressButton } from '../parts/press-button.js'
import { RunList, TakeResult } from '../parts/run-list.js'
import { StepCard } from '../parts/step-card.js'
import { useAction } from '../parts/use-action.js'
import { WaitingTimings } from '../parts/waiting-timings.js'

/** What is timed. */
interface Setting {
  readonly dial: string
  readonly direction: Direction
  readonly distance: string
  /** Who presses; empty where nobody was measured, or nobody says so. */
  readonly person: string
}

const PERSON_KEPT_AS = 'tablepace.person'

/** Runs by stopwatch: one large button, timed by this device. */
export function StopwatchView() {
  const page = usePage()
  const { axis, unit, data, take, setTake, refresh } = page
  const session = data.session?.source === 'stopwatch' && data.session.next !== null ? data.session : null
  const [single, setSingle] = useState(false)
  const inSession = session !== null && !single
  const [setting, setSetting] = useState<Setting>({
    ...{ dial: '', direction: 1, distance: '' },
    person: localStorage.getItem(PERSON_KEPT_AS) ?? '',
  })
  const [asking, setAsking] = useState(true)
  const [waiting, setWaiting] = useState<readonly WaitingTiming[]>([])
  const { trouble, run } = useAction()
  const watch = useStopwatch()
  const screen = useScreenOn(watch.timer.state === 'running')
  const timings = useMemo(
    () =>
      new Timings({
        changed: setWaiting,
        kept: (kept) => {
          setTake(kept)
          void refresh().catch(() => {})
        },
      }),
    [],
  )
  useEffect(() => {
    setWaiting(timings.waiting)
    void timings.send()
  }, [timings, page.connected])

  const shown = inSession ? ofSession(session, setting, unit) : setting
  const keep = (): void => {
    void run(async () => {
      const timing = watch.timer.timing()
      if (timing === null) return
      timings.add({
        axisId: axis.id,
        dial: dialOf(shown.dial, parseNumber),
        direction: shown.direction,
        distanceMm: parseLengthMm(shown.distance, unit, 'Distance'),
        ...timing,
        marksS: [...timing.marksS],
        inSession,
        person: page.start.people.includes(shown.person) ? shown.person : '',
        madeAt: new Date().toISOString(),
        clockBefore: [...watch.clockBefore],
      })
      watch.reset()
    })
  }
  return (
    <section class="stopwatch">
      <h1>Stopwatch for {axis.name}</h1>
      {asking && (
        <CautionsDialog
          onNotYet={() => {
            location.hash = '#/look-up'
          }}
          onClear={() => setAsking(false)}
        />
      )}
      <CautionsReminder />
      {inSession && <StepCard session={session} />}
      <Settings
        setting={shown}
        onSetting={setSetting}
        inSession={inSession}
        // Stays where it is while the watch runs, so that the large button does not move under a thumb.
        fixed={watch.timer.state === 'running'}
        onSingle={session === null ? null : () => setSingle(!single)}
      />
      <Watch watch={watch} distance={shown.distance} unit={unit} onKeep={keep} />
      {trouble !== null && <Notice kind="trouble">{trouble}</Notice>}
      <WaitingTimings waiting={waiting} onForget={(sequence) => timings.forget(sequence)} />
      {take !== null && <TakeResult take={take} />}
      {screen === 'cannot' && (
        <p class="quiet">
          This browser cannot keep the screen on here; set a long screen timeout on the phone.
        </p>
      )}
      <h2>Runs so far</h2>
      <RunList most={8} />
    </section>
  )
}

function ofSession(session: SessionState, setting: Setting, unit: 'in' | 'mm'): Setting {
  const { next } = session
  if (next === null) return setting
  const planned = String(Number(fromMm(next.timedDistanceMm, unit).toFixed(3)))
  return {
    ...setting,
    dial: formatDial(next.dial),
    direction: next.direction,
    distance: setting.distance === '' ? planned : setting.distance,
  }
}

function Settings({
  setting,
  onSetting,
  inSession,
  fixed,
  onSingle,
}: {
  setting: Setting
  onSetting: (setting: Setting) => void
  inSession: boolean
  fixed: boolean
  onSingle: (() => void) | null
}) {
  const { axis, unit, start } = usePage()
  const change = (changes: Partial<Setting>): void => onSetting({ ...setting, ...changes })
  return (
    <fieldset class="card" disabled={fixed} aria-label="What is timed">
      {!inSession && <DialField axis={axis} text={setting.dial} onText={(dial) => change({ dial })} />}
      <div class="pair">
        {!inSession && (
          <Choice
            legend="Direction"
            name="timed-direction"
            value={setting.direction}
            options={[
              { value: 1 as Direction, label: '+', spoken: 'plus' },
              { value: -1 as Direction, label: '−', spoken: 'minus' },
            ]}
            onChange={(direction) => change({ direction })}
          />
        )}
        <label>
          Distance between the lines, {unit}
          <input
            value={setting.distance}
            inputMode="decimal"
            autocomplete="off"
            onInput={(event) => change({ distance: event.currentTarget.value })}
          />
        </label>
      </div>
      {start.people.length > 0 && (
        <label>
          Who presses
          <select
            value={setting.person}
            onChange={(event) => {
              localStorage.setItem(PERSON_KEPT_AS, event.currentTarget.value)
              change({ person: event.currentTarget.value })
            }}
          >
            <option value="">no timing test yet</option>
            {start.people.map((person) => (
              <option key={person}>{person}</option>
            ))}
          </select>
        </label>
      )}
      {onSingle !== null && (
        <button type="button" class="small" onClick={onSingle}>
          {inSession ? 'A single run instead' : 'Back to the session'}
        </button>
      )}
    </fieldset>
  )
}

/** The large button and what belongs to it. */
function Watch({
  watch,
  distance,
  unit,
  onKeep,
}: {
  watch: Stopwatch
  distance: string
  unit: 'in' | 'mm'
  onKeep: () => void
}) {
  const { timer, press, mark, undo, reset } = watch
  const { state } = timer
  const timing = timer.timing()
  const marks = timer.presses.filter((one) => one.kind === 'mark').length
  const far =
    Number.isFinite(Number(distance)) && distance.trim() !== ''
      ? `${distance.trim()} ${unit}`
      : 'the distance'
  return (
    <div class={`watch ${state}`}>
      <PressButton className="press" onPress={press} spent={timing !== null}>
        <span class="word">{{ ready: 'Start', running: 'Stop', stopped: 'Stopped' }[state]}</span>
        <span class="hint">
          {
            {
              ready: 'as the table passes the first line',
              running: `after ${far}, at the last line`,
              stopped: `timed over ${far}`,
            }[state]
          }
        </span>
        <Elapsed timer={timer} />
      </PressButton>
      {timing !== null && (
        <button type="button" class="main huge keep" onClick={onKeep}>
          Keep {timing.durationS.toFixed(2)} s
        </button>
      )}
      <div class="buttons even">
        {state === 'running' && (
          <PressButton className="tall" onPress={mark} spent={false}>
            Mark on the way{marks > 0 ? ` (${marks})` : ''}
          </PressButton>
        )}
        {state !== 'ready' && (
          <button type="button" class="tall" onClick={undo}>
            Undo the last press
          </button>
        )}
        {timing !== null && (
          <button type="button" class="tall" onClick={reset}>
            Throw away
          </button>
        )}
      </div>
    </div>
  )
}
