import { useState } from 'preact/hooks'
import { formatDial } from '../../../units/index.js'
import { tell } from '../model/server.js'
import { usePage } from '../model/use-page.js'
import { FitButton } from '../parts/fit-button.js'
import { Notice } from '../parts/notice.js'
import { SessionProgress } from '../parts/session-progress.js'
import { useAction } from '../parts/use-action.js'

/** The calibration as a whole: what is done, what comes next. */
export function Plan() {
  const { data, axis } = usePage()
  return (
    <section>
      <h1>Plan for {axis.name}</h1>
      {data.session === null ? (
        <Begin />
      ) : data.session.recheck !== null ? (
        <Notice kind="note">
          A recheck is in progress; it goes on at <a href="#/check">Check</a>.
        </Notice>
      ) : (
        <SessionProgress session={data.session} finish={<FitButton />} />
      )}
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
