import { useEffect } from 'preact/hooks'
import type { RunSource } from '../../../store/index.js'
import type { GoodEnoughState, SessionState } from '../../api.js'
import { tell } from '../model/server.js'
import { plainNumber } from '../model/typed.js'
import { useBegin } from '../model/use-begin.js'
import { usePage } from '../model/use-page.js'
import { Notice } from '../parts/notice.js'
import { RunList } from '../parts/run-list.js'
import { useAction } from '../parts/use-action.js'
import { BeginSession } from './begin-session.js'
import { Progress } from './progress.js'
import { ReadoutRuns } from './readout/readout-runs.js'
import { calibrationTravels } from './readout/readout-work.js'
import { RecheckWay, useRecheckWay } from './recheck-way.js'
import { SessionDone } from './session-done.js'
import { SessionMore, SignalSwitch } from './session-more.js'
import { StopwatchRuns } from './timed/stopwatch-runs.js'
import { SWEEP_UNTIL_GOOD } from './ways.js'

/** The session in progress, or how to begin one. */
export function MeasureNext() {
  const { data, live, axis } = usePage()
  if (data.session !== null) return <Session session={data.session} />
  return calibrationTravels(live, axis.id) !== null ? <MeasureBySweeps /> : <BeginSession />
}

/** Runs by readout: those of the session where there is one of them, else runs one by one. */
export function MeasureByReadout() {
  return <Measure source="readout" />
}

/** The same by stopwatch. */
export function MeasureByStopwatch() {
  return <Measure source="stopwatch" />
}

/** Travels in which the dial is turned through all marks. */
export function MeasureBySweeps() {
  const { axis, live } = usePage()
  const [{ directions, readout, within }] = useBegin()
  const wished = readout === SWEEP_UNTIL_GOOD ? plainNumber(within) || null : null
  const travels = calibrationTravels(live, axis.id)
  return (
    <section class="measure">
      <h1>Measure {axis.name}</h1>
      <ReadoutRuns
        work={{
          kind: 'sweep',
          directions: travels?.directions ?? directions,
          withinPercent: travels === null ? wished : travels.withinPercent,
        }}
      />
      <SignalSwitch />
      {travels !== null && <EndTravels />}
      <p>
        <a class="alone" href="#/measure/record">
          Single runs instead
        </a>
      </p>
      <RunsSoFar />
    </section>
  )
}

/** Gives up the travels that are left. */
function EndTravels() {
  const { busy, trouble, run } = useAction()
  const end = (): Promise<boolean> =>
    run(async () => {
      await tell('live/end-travels', {})
      location.hash = '#/measure'
    })
  return (
    <>
      <div class="buttons">
        <button type="button" class="small" disabled={busy} onClick={end}>
          End these travels; their runs are kept
        </button>
      </div>
      {trouble !== null && <Notice kind="trouble">{trouble}</Notice>}
    </>
  )
}

/** A run beside the session, timed as its runs are. */
export function MeasureAlone() {
  const { data } = usePage()
  return <SingleRuns source={data.session?.source ?? 'stopwatch'} />
}

function Measure({ source }: { source: RunSource }) {
  const { data } = usePage()
  return data.session?.source === source ? <Session session={data.session} /> : <SingleRuns source={source} />
}

/** A session on one screen: what to set now, the run, what came of it, and at the end the table or the verdict. */
export function Session({ session }: { session: SessionState }) {
  const { axis } = usePage()
  const way = useRecheckWay(session)
  // It began with a button far down: what to set stands at the top.
  useEffect(() => scrollTo(0, 0), [session.id])
  return (
    <section class="measure">
      <h1>
        {session.recheck === null ? 'Measure' : 'Recheck'} {axis.name}
      </h1>
      <Progress
        done={session.steps.filter((step) => step.done).length}
        all={session.steps.length}
        minutesLeft={(way.byTravels ? session.travels?.minutesLeft : null) ?? session.minutesLeft}
      />
      {session.outlook !== null && <Notice kind="note">{session.outlook}</Notice>}
      {way.canChoose && <RecheckWay session={session} byTravels={way.byTravels} onChange={way.choose} />}
      {session.next === null && <SessionDone session={session} />}
      {session.source === 'stopwatch' ? (
        <StopwatchRuns session={session} />
      ) : (
        <ReadoutRuns work={{ kind: way.byTravels ? 'recheck-travels' : 'session', session }} />
      )}
      {session.goodEnough !== null && <GoodEnough state={session.goodEnough} />}
      <SessionMore session={session} byTravels={way.byTravels} />
      <RunsSoFar />
    </section>
  )
}

/** How far the table is from good enough, and why the next run is made where it is. */
function GoodEnough({ state: { sentences, outOfReach } }: { state: GoodEnoughState }) {
  return (
    <div class="quiet">
      {[...sentences, ...outOfReach].map((sentence) => (
        <p key={sentence}>{sentence}</p>
      ))}
    </div>
  )
}

function SingleRuns({ source }: { source: RunSource }) {
  const { axis, data } = usePage()
  return (
    <section class="measure">
      <h1>Single runs of {axis.name}</h1>
      {source === 'stopwatch' ? (
        <StopwatchRuns session={null} />
      ) : (
        <ReadoutRuns work={{ kind: 'single', check: false }} />
      )}
      <p>
        {data.session === null ? (
          <a class="alone" href="#/measure">
            Be led from mark to mark
          </a>
        ) : (
          <a class="alone" href="#/measure">
            Back to the session
          </a>
        )}
      </p>
      <RunsSoFar />
    </section>
  )
}

function RunsSoFar() {
  return (
    <>
      <h2>Runs so far</h2>
      <RunList most={8} />
    </>
  )
}
