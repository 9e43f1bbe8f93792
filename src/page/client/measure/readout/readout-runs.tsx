import { useState } from 'preact/hooks'
import { formatDial, formatLength, parseNumber } from '../../../../units/index.js'
import type { ArmRequest, LiveState, SessionState } from '../../../api.js'
import { useScreenOn } from '../../model/screen-on.js'
import { tell } from '../../model/server.js'
import { usePage } from '../../model/use-page.js'
import { Notice } from '../../parts/notice.js'
import { TakeResult } from '../../parts/run-list.js'
import { useAction } from '../../parts/use-action.js'
import { wayShown } from '../../parts/way-words.js'
import { CautionsDialog } from '../cautions.js'
import { DialField, dialOf } from '../dial-field.js'
import { Instruction } from '../instruction.js'
import { RunConditions, useConditions } from '../run-conditions.js'
import { KnownMove } from './known-move.js'
import { Readings, TrackChart } from './live-chart.js'
import { ReadoutField } from './readout-field.js'

/** Runs by readout: set the dial, let the table travel; each run is told the moment it ends. */
export function ReadoutRuns({
  session,
  check = false,
}: {
  session: SessionState | null
  /** The runs teach how the machine feeds today, and no mark. */
  check?: boolean
}) {
  const { live, track, unit, take, axis } = usePage()
  const open = live.status !== 'closed'
  const screen = useScreenOn(open)
  const [unitTold, setUnitTold] = useState<string | null>(null)
  if (open && live.axisId !== axis.id) {
    return <Notice kind="note">The readout is connected to another axis just now.</Notice>
  }
  return (
    <>
      {open ? <Run live={live} session={session} check={check} /> : <Closed session={session} />}
      {open && <Readings track={track} unit={unit} />}
      {take !== null && <TakeResult take={take} />}
      {open && live.unitIsOpen && live.status === 'watching' && <KnownMove onTold={setUnitTold} />}
      {open && !live.unitIsOpen && unitTold !== null && <Notice kind="note">{unitTold}</Notice>}
      {open && <TrackChart track={track} unit={unit} />}
      {open && <Readout live={live} />}
      {open && screen === 'cannot' && (
        <p class="quiet">
          This browser cannot keep the screen on here; set a long screen timeout on the phone.
        </p>
      )}
    </>
  )
}

/** What to set for the next run of the session. */
function NextStep({ session }: { session: SessionState }) {
  const { unit } = usePage()
  const { next, steps, resetDial } = session
  if (next === null) return null
  const { travel, minimumTimeS } = next
  return (
    <>
      <p class="count">
        Run {next.step} of {steps.length}, pass {next.pass}
      </p>
      <Instruction dial={formatDial(next.dial)} direction={next.direction} turnAway={resetDial}>
        {travel === null
          ? `Travel for about ${minimumTimeS} s, well short of the stop.`
          : `Travel about ${formatLength(travel.distanceMm, unit)}, for about ${Math.round(travel.timeS)} s.`}
      </Instruction>
    </>
  )
}

function Closed({ session }: { session: SessionState | null }) {
  const { live } = usePage()
  return (
    <>
      {session !== null && <NextStep session={session} />}
      <ReadoutField trouble={live.trouble} />
    </>
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

/** The next run: its instruction and the one button. */
function Run({ live, session, check }: { live: LiveState; session: SessionState | null; check: boolean }) {
  const { axis } = usePage()
  const [text, setText] = useState('')
  const [untouched, setUntouched] = useState(false)
  const [asking, setAsking] = useState<ArmRequest['what'] | null>(null)
  const conditions = useConditions()
  const { busy, trouble, run } = useAction()
  const recording = live.status === 'armed' || live.status === 'moving'
  const over = session !== null && session.next === null
  const begin = (): void => {
    void run(async () => {
      setAsking(
        session !== null
          ? { kind: 'session' }
          : { kind: 'run', dial: dialOf(text, parseNumber), dialReset: !untouched, check },
      )
    })
  }
  return (
    <>
      {asking !== null && (
        <CautionsDialog
          onNotYet={() => setAsking(null)}
          onClear={() => {
            setAsking(null)
            void run(() => tell('live/arm', { what: asking, allClear: true, tags: conditions.tags }))
          }}
        />
      )}
      {session !== null ? (
        <NextStep session={session} />
      ) : (
        !recording && <SingleSetting {...{ axis, text, setText, untouched, setUntouched }} />
      )}
      <p role="status" class={`status ${live.status}`}>
        <span class="lamp" aria-hidden="true">
          {recording ? '●' : '○'}
        </span>{' '}
        {live.silent ? 'The readout says nothing just now' : STATUS_WORDS[live.status]}
        {live.dial !== null && `, dial ${formatDial(live.dial)}`}
        {live.direction !== null && `, direction ${wayShown(axis, live.direction)}`}
      </p>
      <div class="buttons">
        {recording ? (
          <button
            type="button"
            class="huge"
            disabled={busy}
            onClick={() => run(() => tell('live/disarm', {}))}
          >
            Stop recording
          </button>
        ) : (
          !over && (
            <button
              type="button"
              class="main huge"
              disabled={busy || live.status !== 'watching'}
              onClick={begin}
            >
              {session !== null ? 'Go on with the session' : 'Record this run'}
            </button>
          )
        )}
      </div>
      {live.trouble !== null && <Notice kind="trouble">{live.trouble}</Notice>}
      {trouble !== null && trouble !== live.trouble && <Notice kind="trouble">{trouble}</Notice>}
      {!recording && <RunConditions conditions={conditions} />}
    </>
  )
}

function SingleSetting({
  axis,
  text,
  setText,
  untouched,
  setUntouched,
}: {
  axis: Parameters<typeof DialField>[0]['axis']
  text: string
  setText: (text: string) => void
  untouched: boolean
  setUntouched: (untouched: boolean) => void
}) {
  return (
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
}

/** The readout that is open: what its lines say, and how to let it go. */
function Readout({ live }: { live: LiveState }) {
  const { busy, run } = useAction()
  return (
    <div class="card">
      <p>Readout on {live.port}</p>
      {live.conclusions.length > 0 && (
        <details>
          <summary>Readout format</summary>
          <ul>
            {live.conclusions.map((one) => (
              <li key={one}>{one}</li>
            ))}
          </ul>
        </details>
      )}
      <div class="buttons">
        <button
          type="button"
          class="small"
          disabled={busy}
          onClick={() => run(() => tell('live/disconnect', {}))}
        >
          Disconnect
        </button>
      </div>
    </div>
  )
}
