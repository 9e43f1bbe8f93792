import type { ComponentChildren } from 'preact'
import { formatDial, printedSign } from '../../../units/index.js'
import type { SessionState } from '../../api.js'
import { tell } from '../model/server.js'
import { usePage } from '../model/use-page.js'
import { Notice } from './notice.js'
import { StepCard } from './step-card.js'
import { useAction } from './use-action.js'

/** How far a session is, what comes next, and how to end it. */
export function SessionProgress({
  session,
  finish,
}: {
  session: SessionState
  /** What is made from the runs once there are some. */
  finish: ComponentChildren
}) {
  const { axis } = usePage()
  const { busy, trouble, run } = useAction()
  const { steps, next } = session
  const done = steps.filter((step) => step.done).length
  const act = (path: 'session/skip' | 'session/repeat' | 'session/end') => () =>
    void run(() => tell(path, { axisId: axis.id }))
  return (
    <>
      <p>{session.title}</p>
      <p class="progress">
        <progress value={done} max={steps.length} aria-label="Runs done" />
        <span>
          {done} of {steps.length} runs
        </span>
      </p>
      <div class="card">
        <StepCard session={session} />
        <div class="buttons">
          {next !== null && (
            <a
              class="button main"
              href={session.source === 'stopwatch' ? '#/measure/stopwatch' : '#/measure/record'}
            >
              {session.source === 'stopwatch' ? 'To the stopwatch' : 'To the readout'}
            </a>
          )}
          {next !== null && (
            <button type="button" disabled={busy} onClick={act('session/skip')}>
              Skip this run
            </button>
          )}
          {done > 0 && (
            <button type="button" disabled={busy} onClick={act('session/repeat')}>
              Make the last run again
            </button>
          )}
        </div>
      </div>
      {done > 0 && finish}
      {trouble !== null && <Notice kind="trouble">{trouble}</Notice>}
      <StepGrid session={session} />
      <details>
        <summary>How to get good runs</summary>
        <ul>
          {session.cautions.map((caution) => (
            <li key={caution}>{caution}</li>
          ))}
        </ul>
      </details>
      <div class="buttons">
        <button type="button" disabled={busy} onClick={act('session/end')}>
          End this session; its runs are kept
        </button>
      </div>
    </>
  )
}

/** One row a mark, one cell a run: done, next or still to do. */
function StepGrid({ session }: { session: SessionState }) {
  const dials = [...new Set(session.steps.map((step) => step.dial))].sort((a, b) => a - b)
  return (
    <table class="steps">
      <caption>Marks and their runs: ✓ done, ▶ next, · still to do</caption>
      <thead>
        <tr>
          <th scope="col">Dial</th>
          <th scope="col">Runs, pass by pass</th>
        </tr>
      </thead>
      <tbody>
        {dials.map((dial) => (
          <tr key={dial}>
            <th scope="row">{formatDial(dial)}</th>
            <td>
              <div class="cells">
                {session.steps
                  .filter((step) => step.dial === dial)
                  .map((step) => {
                    const state = step.done ? 'done' : step.step === session.next?.step ? 'next' : 'open'
                    const words = { done: '✓', next: '▶', open: '·' }[state]
                    return (
                      <span class={`cell ${state}`} key={step.step}>
                        {printedSign(step.direction)} {words}
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
