import { useState } from 'preact/hooks'
import { formatDial } from '../../../units/index.js'
import { tell } from '../model/server.js'
import { usePage } from '../model/use-page.js'
import { FitButton } from '../parts/fit-button.js'
import { Notice } from '../parts/notice.js'
import { RunList } from '../parts/run-list.js'
import { useAction } from '../parts/use-action.js'

/** How to measure: led from mark to mark, or run by run. */
export function BeginSession() {
  const { start, axis, data } = usePage()
  const [procedure, setProcedure] = useState(start.procedures[0]?.name ?? '')
  const { busy, trouble, run } = useAction()
  return (
    <section>
      <h1>Measure {axis.name}</h1>
      <form
        class="card"
        onSubmit={(event) => {
          event.preventDefault()
          void run(() => tell('session/begin', { axisId: axis.id, procedure }))
        }}
      >
        <fieldset class="procedures">
          <legend>Be led from mark to mark</legend>
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
          <button type="submit" class="main huge" disabled={busy}>
            Begin
          </button>
        </div>
        {trouble !== null && <Notice kind="trouble">{trouble}</Notice>}
      </form>
      <h2>Or single runs</h2>
      <div class="buttons even">
        <a class="button" href="#/measure/record">
          By readout
        </a>
        <a class="button" href="#/measure/stopwatch">
          By stopwatch
        </a>
      </div>
      {data.runs.length > 0 && (
        <>
          <h2>Runs so far</h2>
          <RunList most={8} />
          <FitButton />
        </>
      )}
    </section>
  )
}
