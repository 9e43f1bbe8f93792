import { useEffect, useMemo, useRef, useState } from 'preact/hooks'
import type { StopwatchTimer } from '../../../ingest/stopwatch-timer.js'
import type { Direction } from '../../../traverse/index.js'
import { formatDial, formatLength, fromMm, parseLengthMm, parseNumber } from '../../../units/index.js'
import type { SessionState } from '../../api.js'
import { phoneNowS } from '../model/phone-clock.js'
import { useScreenOn } from '../model/screen-on.js'
import { Timings, type WaitingTiming } from '../model/timings.js'
import { usePage } from '../model/use-page.js'
import { type Stopwatch, useStopwatch } from '../model/use-stopwatch.js'
import { CautionsDialog } from '../parts/cautions.js'
import { Choice } from '../parts/choice.js'
import { DialField, dialOf } from '../parts/dial-field.js'
import { Notice } from '../parts/notice.js'
import { RunList, TakeResult } from '../parts/run-list.js'
import { StepCard } from '../parts/step-card.js'
import { useAction } from '../parts/use-action.js'

/** The cautions were agreed to since this page was opened. */
let clear = false

/** What is timed. */
interface Setting {
  readonly dial: string
  readonly direction: Direction
  readonly distance: string
}

/** Runs by stopwatch: one large button, timed by this device. */
export function StopwatchView() {
  const page = usePage()
  const { axis, unit, data, take, setTake, refresh } = page
  const session = data.session?.source === 'stopwatch' && data.session.next !== null ? data.session : null
  const [single, setSingle] = useState(false)
  const inSession = session !== null && !single
  const [setting, setSetting] = useState<Setting>({ dial: '', direction: 1, distance: '' })
  const [asking, setAsking] = useState(!clear)
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
        madeAt: new Date().toISOString(),
        clockBefore: [...watch.clockBefore],
      })
      watch.reset()
    })
  }
  const { state } = watch.timer
  return (
    <section class="stopwatch">
      <h1>Stopwatch for {axis.name}</h1>
      {asking && (
        <CautionsDialog
          onNotYet={() => {
            location.hash = '#/feeds'
          }}
          onClear={() => {
            clear = true
            setAsking(false)
          }}
        />
      )}
      {inSession && <StepCard session={session} />}
      {state === 'ready' && (
        <Settings
          setting={shown}
          onSetting={setSetting}
          inSession={inSession}
          onSingle={session === null ? null : () => setSingle(!single)}
        />
      )}
      <Watch watch={watch} distance={shown.distance} unit={unit} onKeep={keep} />
      {trouble !== null && <Notice kind="trouble">{trouble}</Notice>}
      <Waiting waiting={waiting} onForget={(sequence) => timings.forget(sequence)} />
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
    dial: formatDial(next.dial),
    direction: next.direction,
    distance: setting.distance === '' ? planned : setting.distance,
  }
}

function Settings({
  setting,
  onSetting,
  inSession,
  onSingle,
}: {
  setting: Setting
  onSetting: (setting: Setting) => void
  inSession: boolean
  onSingle: (() => void) | null
}) {
  const { axis, unit } = usePage()
  const change = (changes: Partial<Setting>): void => onSetting({ ...setting, ...changes })
  return (
    <div class="card settings">
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
      {onSingle !== null && (
        <button type="button" class="small" onClick={onSingle}>
          {inSession ? 'A single run instead' : 'Back to the session'}
        </button>
      )}
    </div>
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
      {timing === null ? (
        <PressButton className="press" onPress={press}>
          <span class="word">{state === 'ready' ? 'Start' : 'Stop'}</span>
          <span class="hint">
            {state === 'ready' ? 'as the table passes the first line' : `after ${far}, at the last line`}
          </span>
          <Elapsed timer={timer} />
        </PressButton>
      ) : (
        <div class="timed" role="status">
          <p class="elapsed">{timing.durationS.toFixed(2)} s</p>
          <button type="button" class="main huge" onClick={onKeep}>
            Keep it
          </button>
        </div>
      )}
      <div class="buttons even">
        {state === 'running' && (
          <PressButton className="tall" onPress={mark}>
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

/** A button that counts from the moment the finger comes down, not from when it leaves. */
function PressButton({
  className,
  onPress,
  children,
}: {
  className: string
  onPress: (event: Event) => void
  children: preact.ComponentChildren
}) {
  return (
    <button
      type="button"
      class={className}
      onPointerDown={(event) => {
        if (event.button === 0) onPress(event)
      }}
      onKeyDown={(event) => {
        if (event.key !== ' ' && event.key !== 'Enter') return
        event.preventDefault()
        if (!event.repeat) onPress(event)
      }}
      onKeyUp={(event) => event.preventDefault()}
      onClick={(event) => {
        // A press by an assistive program comes as a click alone.
        if (event.detail === 0) onPress(event)
      }}
      onContextMenu={(event) => event.preventDefault()}
    >
      {children}
    </button>
  )
}

/** The time that runs; drawn on its own, so that nothing else waits for it. */
function Elapsed({ timer }: { timer: StopwatchTimer }) {
  const shown = useRef<HTMLSpanElement>(null)
  const startS = timer.presses[0]?.timeS
  useEffect(() => {
    if (startS === undefined) return
    let frame = 0
    const draw = (): void => {
      if (shown.current) shown.current.textContent = `${Math.max(0, phoneNowS() - startS).toFixed(1)} s`
      frame = requestAnimationFrame(draw)
    }
    draw()
    return () => cancelAnimationFrame(frame)
  }, [startS])
  return (
    <span class="elapsed" ref={shown} aria-hidden="true">
      {startS === undefined ? '0.0 s' : ''}
    </span>
  )
}

function Waiting({
  waiting,
  onForget,
}: {
  waiting: readonly WaitingTiming[]
  onForget: (sequence: number) => void
}) {
  const { unit } = usePage()
  if (waiting.length === 0) return null
  return (
    <Notice kind="note">
      <p>Not on the laptop yet; kept on this device:</p>
      <ul>
        {waiting.map(({ request, refused }) => (
          <li key={request.sequence}>
            dial {formatDial(request.dial)}, {formatLength(request.distanceMm, unit)} in{' '}
            {request.durationS.toFixed(2)} s
            {refused === null ? ' – waiting for the connection' : `: ${refused}`}{' '}
            {refused !== null && (
              <button type="button" class="small" onClick={() => onForget(request.sequence)}>
                Throw away
              </button>
            )}
          </li>
        ))}
      </ul>
    </Notice>
  )
}
