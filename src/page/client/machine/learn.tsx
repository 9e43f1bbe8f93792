import { useEffect, useState } from 'preact/hooks'
import type { LearningState, ReadoutsAnswer } from '../../machine-api.js'
import { onServerEvent, tell } from '../model/server.js'
import { usePage } from '../model/use-page.js'
import { CheckField } from '../parts/check-field.js'
import { Notice } from '../parts/notice.js'
import { TextField } from '../parts/text-field.js'
import { useAction } from '../parts/use-action.js'
import { useAnswer } from '../parts/use-answer.js'

/** What the measuring views remember of the readout; a profile that was just learned is the one to use. */
const KEPT_AS = 'tablepace.readout'

/** Learns a readout by listening: which speed, which lines, which number is the axis, and what a number is worth. */
export function Learn({ readouts, onSaved }: { readouts: ReadoutsAnswer; onSaved: () => Promise<void> }) {
  const { answer } = useAnswer<LearningState>('learning')
  const [told, setTold] = useState<LearningState | null>(null)
  const { busy, trouble, run } = useAction()
  useEffect(
    () =>
      onServerEvent((event) => {
        if (event.kind === 'learning') setTold(event.state)
      }),
    [],
  )
  const state = told ?? answer
  if (state === null) return null
  const stop = (): Promise<boolean> => run(() => tell('readout/stop', {}))
  return (
    <>
      <h2>Learn to read a readout</h2>
      {(state.status === 'closed' || state.status === 'failed') && <Begin readouts={readouts} />}
      {state.trouble !== null && <Notice kind="trouble">{state.trouble}</Notice>}
      {state.port !== null && (
        <div class="card" role="status">
          <h3>What came from {state.port}</h3>
          <ul>
            {state.trials.map((trial) => (
              <li key={trial}>{trial}</li>
            ))}
          </ul>
          {state.status === 'listening' && <p>Listening …</p>}
          {state.heard.map((sentence) => (
            <p key={sentence}>{sentence}</p>
          ))}
        </div>
      )}
      {state.status === 'heard' && <Move state={state} cautions={readouts.cautions} />}
      {state.status === 'moving' && <Moving state={state} />}
      {state.status === 'learned' && <Keep state={state} onSaved={onSaved} />}
      {state.port !== null && (
        <div class="buttons">
          <button type="button" disabled={busy} onClick={stop}>
            Stop listening
          </button>
        </div>
      )}
      {trouble !== null && <Notice kind="trouble">{trouble}</Notice>}
    </>
  )
}

function Begin({ readouts }: { readouts: ReadoutsAnswer }) {
  const [port, setPort] = useState(readouts.ports[0]?.path ?? '')
  const [baud, setBaud] = useState('')
  const { busy, trouble, run } = useAction()
  return (
    <form
      class="card"
      onSubmit={(event) => {
        event.preventDefault()
        void run(() =>
          tell('readout/learn', { port, baudRate: baud.trim() === '' ? null : Number(baud), framing: '' }),
        )
      }}
    >
      <p>
        For a readout that is not understood, or whose labels do not match your axes. The program only
        listens; nothing is ever sent to it.
      </p>
      <label>
        Port to listen to
        <select value={port} onChange={(event) => setPort(event.currentTarget.value)}>
          {readouts.ports.map(({ path, description }) => (
            <option key={path} value={path}>
              {path} {description}
            </option>
          ))}
        </select>
      </label>
      <TextField
        label="Speed, baud"
        value={baud}
        onText={setBaud}
        hint="may stay empty: the usual ones are tried"
        numeric
      />
      <div class="buttons">
        <button type="submit" class="main" disabled={busy || port === ''}>
          Listen
        </button>
      </div>
      {trouble !== null && <Notice kind="trouble">{trouble}</Notice>}
    </form>
  )
}

/** Which number is the axis, and the move that tells it. */
function Move({ state, cautions }: { state: LearningState; cautions: readonly string[] }) {
  const { axis, unit } = usePage()
  const [column, setColumn] = useState<number | null>(
    state.columns.length === 1 ? state.columns[0]!.column : null,
  )
  const [knownMove, setKnownMove] = useState('')
  const [moveError, setMoveError] = useState('')
  const { busy, trouble, run } = useAction()
  return (
    <form
      class="card"
      onSubmit={(event) => {
        event.preventDefault()
        void run(() => tell('readout/move', { axisId: axis.id, column, knownMove, moveError }))
      }}
    >
      <h3>Now move {axis.name} alone, from rest to rest</h3>
      <label>
        Which number is {axis.name}
        <select
          value={column ?? ''}
          onChange={(event) =>
            setColumn(event.currentTarget.value === '' ? null : Number(event.currentTarget.value))
          }
        >
          <option value="">the one that moves</option>
          {state.columns.map((one) => (
            <option key={one.column} value={one.column}>
              {one.name}
            </option>
          ))}
        </select>
      </label>
      <TextField
        label="Length of the move"
        value={knownMove}
        onText={setKnownMove}
        hint={`in ${unit === 'in' ? 'inches' : 'mm'} or with its unit, such as by a handwheel's scale; it tells what a number is worth`}
        numeric
      />
      <TextField
        label="How far it may be off"
        value={moveError}
        onText={setMoveError}
        hint="may stay empty: one percent"
        numeric
      />
      <ul class="cautions">
        {cautions.map((caution) => (
          <li key={caution}>{caution}</li>
        ))}
      </ul>
      <div class="buttons">
        <button type="submit" class="main" disabled={busy}>
          I am about to move it
        </button>
        {column !== null && (
          <button type="button" disabled={busy} onClick={() => run(() => tell('readout/choose', { column }))}>
            Go on without a move
          </button>
        )}
      </div>
      {trouble !== null && <Notice kind="trouble">{trouble}</Notice>}
    </form>
  )
}

function Moving({ state }: { state: LearningState }) {
  const { axis } = usePage()
  const { busy, trouble, run } = useAction()
  return (
    <div class="card">
      <h3>Move {axis.name} and let it rest for a second</h3>
      <table class="narrow">
        <caption>The numbers as they stand in the lines</caption>
        <thead>
          <tr>
            <th scope="col">Number</th>
            <th scope="col">Now</th>
            <th scope="col">Moved by</th>
          </tr>
        </thead>
        <tbody>
          {state.watched.map((one) => (
            <tr key={one.name}>
              <th scope="row">{one.name}</th>
              <td>{one.now}</td>
              <td>{one.moved}</td>
            </tr>
          ))}
        </tbody>
      </table>
      <div class="buttons">
        <button
          type="button"
          class="main"
          disabled={busy}
          onClick={() => run(() => tell('readout/moved', {}))}
        >
          It rests again
        </button>
      </div>
      {trouble !== null && <Notice kind="trouble">{trouble}</Notice>}
    </div>
  )
}

function Keep({ state, onSaved }: { state: LearningState; onSaved: () => Promise<void> }) {
  const [name, setName] = useState(state.suggestedName)
  const [replace, setReplace] = useState(false)
  const { busy, trouble, run } = useAction()
  const save = (): Promise<boolean> =>
    run(async () => {
      await tell('readout/save', { name, replace })
      localStorage.setItem(KEPT_AS, JSON.stringify({ port: state.port, baud: '', profile: name }))
      await onSaved()
    })
  return (
    <form
      class="card"
      onSubmit={(event) => {
        event.preventDefault()
        void save()
      }}
    >
      <h3>What was learned</h3>
      {state.learned.map((sentence) => (
        <p key={sentence}>{sentence}</p>
      ))}
      <TextField
        label="Name of the profile"
        value={name}
        onText={setName}
        hint="small letters, digits and hyphens; the measuring views then offer it"
      />
      <CheckField
        label="Replace one of this name that was learned before"
        checked={replace}
        onChange={setReplace}
      />
      <div class="buttons">
        <button type="submit" class="main" disabled={busy || name.trim() === ''}>
          Keep it
        </button>
      </div>
      {trouble !== null && <Notice kind="trouble">{trouble}</Notice>}
    </form>
  )
}
