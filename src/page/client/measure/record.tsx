import { useState } from 'preact/hooks'
import { formatDial, parseNumber, printedSign } from '../../../units/index.js'
import type { ArmRequest, LiveState } from '../../api.js'
import { useScreenOn } from '../model/screen-on.js'
import { tell } from '../model/server.js'
import { usePage } from '../model/use-page.js'
import { CautionsDialog } from '../parts/cautions.js'
import { DialField, dialOf } from '../parts/dial-field.js'
import { FitButton } from '../parts/fit-button.js'
import { KnownMove } from '../parts/known-move.js'
import { LiveChart } from '../parts/live-chart.js'
import { Notice } from '../parts/notice.js'
import { ReadoutField } from '../parts/readout-field.js'
import { RunList, TakeResult } from '../parts/run-list.js'
import { StepCard } from '../parts/step-card.js'
import { useAction } from '../parts/use-action.js'

/** Runs by readout: connect, set the dial, travel; each run is told the moment it ends. */
export function Record() {
  const { live, track, unit, take, axis, data } = usePage()
  const open = live.status !== 'closed'
  const screen = useScreenOn(open)
  const [unitTold, setUnitTold] = useState<string | null>(null)
  return (
    <section>
      <h1>Record {axis.name} by readout</h1>
      {live.trouble !== null && <Notice kind="trouble">{live.trouble}</Notice>}
      {open && live.axisId !== axis.id ? (
        <Notice kind="note">The readout is recording another axis just now.</Notice>
      ) : open ? (
        <>
          <Status live={live} />
          <LiveChart track={track} unit={unit} />
          {take !== null && <TakeResult take={take} />}
          {live.unitIsOpen && live.status === 'watching' && <KnownMove onTold={setUnitTold} />}
          {!live.unitIsOpen && unitTold !== null && <Notice kind="note">{unitTold}</Notice>}
          <NextRun live={live} />
        </>
      ) : (
        <ReadoutField />
      )}
      {!open && take !== null && <TakeResult take={take} />}
      {open && screen === 'cannot' && (
        <p class="quiet">
          This browser cannot keep the screen on here; set a long screen timeout on the phone.
        </p>
      )}
      <h2>Runs so far</h2>
      <RunList most={12} />
      {data.runs.length > 0 && <FitButton />}
    </section>
  )
}

const STATUS_WORDS: Readonly<Record<LiveState['status'], string>> = {
  closed: 'No readout',
  opening: 'Opening the readout …',
  watching: 'Following, not recording',
  armed: 'Recording: start the feed when ready',
  moving: 'Recording: the table moves',
  away: 'The readout is gone; waiting for it',
}

function Status({ live }: { live: LiveState }) {
  const { busy, run } = useAction()
  const recording = live.status === 'armed' || live.status === 'moving'
  return (
    <div class={`status-bar ${live.status}`}>
      <p role="status">
        <span class="lamp" aria-hidden="true">
          {recording ? '●' : '○'}
        </span>{' '}
        {STATUS_WORDS[live.status]}
        {live.dial !== null && `, dial ${formatDial(live.dial)}`}
        {live.direction !== null && `, direction ${printedSign(live.direction)}`}
      </p>
      {recording ? (
        <button type="button" disabled={busy} onClick={() => run(() => tell('live/disarm', {}))}>
          Stop recording
        </button>
      ) : (
        <button type="button" disabled={busy} onClick={() => run(() => tell('live/disconnect', {}))}>
          Disconnect
        </button>
      )}
      {live.conclusions.length > 0 && (
        <details>
          <summary>What the lines say</summary>
          <ul>
            {live.conclusions.map((one) => (
              <li key={one}>{one}</li>
            ))}
          </ul>
        </details>
      )}
    </div>
  )
}

function NextRun({ live }: { live: LiveState }) {
  const { data, axis } = usePage()
  const session = data.session?.source === 'readout' ? data.session : null
  const [single, setSingle] = useState(false)
  const [text, setText] = useState('')
  const [untouched, setUntouched] = useState(false)
  const [asking, setAsking] = useState<ArmRequest['what'] | null>(null)
  const { busy, trouble, run } = useAction()
  const inSession = session !== null && !single
  const recording = live.status === 'armed' || live.status === 'moving'

  const arm = (what: ArmRequest['what']): Promise<boolean> =>
    run(() => tell('live/arm', { what, allClear: true }))
  const begin = (): void => {
    void run(async () => {
      const what: ArmRequest['what'] = inSession
        ? { kind: 'session' }
        : { kind: 'run', dial: dialOf(text, parseNumber), dialReset: !untouched }
      setAsking(what)
    })
  }
  return (
    <div class="card">
      {asking !== null && (
        <CautionsDialog
          onNotYet={() => setAsking(null)}
          onClear={() => {
            setAsking(null)
            void arm(asking)
          }}
        />
      )}
      {inSession ? (
        <StepCard session={session} />
      ) : (
        !recording && (
          <>
            <DialField axis={axis} text={text} onText={setText} />
            <label class="check">
              <input
                type="checkbox"
                checked={untouched}
                onChange={(event) => setUntouched(event.currentTarget.checked)}
              />
              The dial was not touched since the last run
            </label>
          </>
        )
      )}
      {!recording && (
        <div class="buttons">
          {(!inSession || session.next !== null) && (
            <button
              type="button"
              class="main huge"
              disabled={busy || live.status !== 'watching'}
              onClick={begin}
            >
              {inSession ? 'Go on with the session' : 'Record this run'}
            </button>
          )}
          {session !== null && (
            <button type="button" onClick={() => setSingle(!single)}>
              {single ? 'Back to the session' : 'A single run instead'}
            </button>
          )}
        </div>
      )}
      {trouble !== null && <Notice kind="trouble">{trouble}</Notice>}
    </div>
  )
}
