import { useState } from 'preact/hooks'
import { formatDial } from '../../../units/index.js'
import type { SessionState } from '../../api.js'
import { tell } from '../model/server.js'
import { areSignalsOn, giveSignal, switchSignals } from '../model/signals.js'
import { usePage } from '../model/use-page.js'
import { Heads } from '../parts/heads.js'
import { Notice } from '../parts/notice.js'
import { useAction } from '../parts/use-action.js'
import { wayShown } from '../parts/way-words.js'
import { Finish } from './finish.js'

/**
 * What else one may want of a session: leave a run out, make one again, all its runs, and its end. In a travel no run can
 * be left out, made again or filmed by itself.
 */
export function SessionMore({
  session,
  byTravels,
}: {
  session: SessionState
  /** Its runs are made in travels through many settings. */
  byTravels: boolean
}) {
  const { axis } = usePage()
  const { busy, trouble, run } = useAction()
  const { steps, next } = session
  const done = steps.some((step) => step.done)
  const isOpen = done && next !== null
  const act = (path: 'session/skip' | 'session/repeat' | 'session/end') => () =>
    void run(() => tell(path, { axisId: axis.id }))
  return (
    <>
      <div class="buttons">
        {next !== null && !byTravels && (
          <button type="button" class="small" disabled={busy} onClick={act('session/skip')}>
            Skip this run
          </button>
        )}
        {done && !byTravels && (
          <button type="button" class="small" disabled={busy} onClick={act('session/repeat')}>
            Make the last run again
          </button>
        )}
        {next !== null && !byTravels && (
          <a class="button small" href="#/measure/film">
            Film this run instead
          </a>
        )}
        <a class="button small" href="#/measure/alone">
          A single run instead
        </a>
      </div>
      {trouble !== null && <Notice kind="trouble">{trouble}</Notice>}
      {/* A table may be made at any time. A look at a recheck costs of what it may still find, so it is not offered as readily. */}
      {isOpen && session.recheck === null && <Finish session={session} />}
      <div class="buttons">
        <button type="button" class="small" disabled={busy} onClick={act('session/end')}>
          End this session; its runs are kept
        </button>
      </div>
      <SignalSwitch />
      <details>
        <summary>All runs of the session</summary>
        <p>{session.title}</p>
        <StepGrid session={session} />
        {isOpen && session.recheck !== null && <Finish session={session} />}
      </details>
      <details>
        <summary>How to get good runs</summary>
        <ul>
          {session.cautions.map((caution) => (
            <li key={caution}>{caution}</li>
          ))}
        </ul>
      </details>
    </>
  )
}

/** Sound and shaking, which tell without a look that a run is done. */
export function SignalSwitch() {
  const [on, setOn] = useState(areSignalsOn)
  return (
    <label class="check">
      <input
        type="checkbox"
        checked={on}
        onChange={(event) => {
          switchSignals(event.currentTarget.checked)
          setOn(event.currentTarget.checked)
          giveSignal('done')
        }}
      />
      Sound and vibration when a run is done
    </label>
  )
}

/** One row a mark, one cell a run: done, next or still to do. */
function StepGrid({ session }: { session: SessionState }) {
  const { axis } = usePage()
  const dials = [...new Set(session.steps.map((step) => step.dial))].sort((a, b) => a - b)
  return (
    <table class="steps">
      <caption>Marks and their runs: ✓ done, ▶ next, · still to do</caption>
      <Heads names={['Dial', 'Runs, pass by pass']} />
      <tbody>
        {dials.map((dial) => (
          <tr key={dial}>
            <th scope="row">{formatDial(dial, axis)}</th>
            <td>
              <div class="cells">
                {session.steps
                  .filter((step) => step.dial === dial)
                  .map((step) => {
                    const state = step.done ? 'done' : step.step === session.next?.step ? 'next' : 'open'
                    const words = { done: '✓', next: '▶', open: '·' }[state]
                    return (
                      <span class={`cell ${state}`} key={step.step}>
                        {wayShown(axis, step.direction)} {words}
                      </span>
                    )
                  })}
              </div>
            </td>
          </tr>
        ))}
      </tbody>
    </table>
  )
}
