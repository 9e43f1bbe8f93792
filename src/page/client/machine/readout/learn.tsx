import { useEffect, useState } from 'preact/hooks'
import type { LearningState, ReadoutsAnswer } from '../../../readout-api.js'
import { onServerEvent, tell } from '../../model/server.js'
import { Form } from '../../parts/form.js'
import { Notice } from '../../parts/notice.js'
import { SelectField } from '../../parts/select-field.js'
import { TextField } from '../../parts/text-field.js'
import { useAction } from '../../parts/use-action.js'
import { useAnswer } from '../../parts/use-answer.js'
import { FormEnd } from '../form-end.js'
import { LearnKeep } from './learn-keep.js'
import { LearnMove, LearnMoving } from './learn-move.js'

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
      {state.status === 'heard' && <LearnMove state={state} cautions={readouts.cautions} />}
      {state.status === 'moving' && <LearnMoving state={state} />}
      {state.status === 'learned' && <LearnKeep state={state} onSaved={onSaved} />}
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
    <Form
      onSend={() =>
        run(() =>
          tell('readout/learn', { port, baudRate: baud.trim() === '' ? null : Number(baud), framing: '' }),
        )
      }
    >
      <p>
        For a readout that is not understood, or whose labels do not match your axes. The program only
        listens; nothing is ever sent to it.
      </p>
      <SelectField
        label="Port to listen to"
        value={port}
        options={readouts.ports.map(({ path, description }) => ({
          value: path,
          label: `${path} ${description}`,
        }))}
        onChange={setPort}
      />
      <TextField
        label="Speed, baud"
        value={baud}
        onText={setBaud}
        hint="may stay empty: the usual ones are tried"
        numeric
      />
      <FormEnd button="Listen" disabled={busy || port === ''} trouble={trouble} />
    </Form>
  )
}
