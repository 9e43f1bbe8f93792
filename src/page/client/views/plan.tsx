import { useState } from 'preact/hooks'
import { formatDial } from '../../../units/index.js'
import type { SessionState } from '../../api.js'
import { tell } from '../model/server.js'
import { usePage } from '../model/use-page.js'
import { FitButton } from '../parts/fit-button.js'
import { Notice } from '../parts/notice.js'
import { StepCard } from '../parts/step-card.js'
import { useAction } from '../parts/use-action.js'
import { sign } from '../parts/words.js'

/** The calibration as a whole: what is done, what comes next. */
export function Plan() {
  const { data, axis } = usePage()
  return (
    <section>
      <h1>Plan for {axis.name}</h1>
      {data.session === null ? <Begin /> : <Progress session={data.session} />}
    </section>
  )
}

function Begin() {
  const { start, axis } = usePage()
  const [procedure, setProcedure] = useState(start.procedures[0]?.name ?? '')
  const { busy, trouble, run } = useAction()
  return (
    <form
      class="card"
      onSubmit={(event) => {
        event.preventDefault()
        void run(() => tell('session/begin', { axisId: axis.id, procedure }))
      }}
    >
      <fieldset class="procedures">
        <legend>How to calibrate</legend>
        {start.procedures.map(({ name, title, source }) => (
          <label class="check" key={name}>
            <input
              type="radio"
              name="procedure"
              checked={name === procedure}
              onChange={() => setProcedure(name)}
            />
            <span>
              <strong>{title}</strong>
              <br />
              {source === 'stopwatch'
                ? 'timed on this page by stopwatch'
                : 'followed on the position readout'}
            </span>
          </label>
        ))}
      </fieldset>
      <p class="quiet">
        The marks of {axis.name}:{' '}
        {axis.marks.length === 0 ? 'none named yet' : axis.marks.map(formatDial).join(', ')}.
      </p>
      <div class="buttons">
        <button type="submit" class="main" disabled={busy}>
          Begin
        </button>
      </div>
      {trouble !== null && <Notice kind="trouble">{trouble}</Notice>}
    </form>
  )
}

function Progress({ session }: { session: SessionState }) {
  const { axis } = usePage()
  const { busy, trouble, run } = useAction()
  const { steps, next } = session
  const done = steps.filter((step) => step.done).length
  const act = (path: string) => () => void run(() => tell(path, { axisId: axis.id }))
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
            <a class="button main" href={session.source === 'stopwatch' ? '#/stopwatch' : '#/record'}>
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
      {done > 0 && <FitButton />}
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
              {session.steps
                .filter((step) => step.dial === dial)
                .map((step) => {
                  const state = step.done ? 'done' : step.step === session.next?.step ? 'next' : 'open'
                  const words = { done: '✓', next: '▶', open: '·' }[state]
                  return (
                    <span class={`cell ${state}`} key={step.step}>
                      {sign(step.direction)} {words}
                    </span>
                  )
                })}
            </td>
          </tr>
        ))}
      </tbody>
    </table>
  )
}
