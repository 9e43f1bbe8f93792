import { useState } from 'preact/hooks'
import { unitWord } from '../../../../units/index.js'
import type { LearningState } from '../../../readout-api.js'
import { tell } from '../../model/server.js'
import { usePage } from '../../model/use-page.js'
import { Form } from '../../parts/form.js'
import { Heads } from '../../parts/heads.js'
import { Notice } from '../../parts/notice.js'
import { SelectField } from '../../parts/select-field.js'
import { TextField } from '../../parts/text-field.js'
import { useAction } from '../../parts/use-action.js'
import { FormEnd } from '../form-end.js'

/** Which number is the axis, and the move that tells it. */
export function LearnMove({ state, cautions }: { state: LearningState; cautions: readonly string[] }) {
  const { axis, unit } = usePage()
  const [column, setColumn] = useState<number | null>(
    state.columns.length === 1 ? state.columns[0]!.column : null,
  )
  const [knownMove, setKnownMove] = useState('')
  const [moveError, setMoveError] = useState('')
  const { busy, trouble, run } = useAction()
  return (
    <Form onSend={() => run(() => tell('readout/move', { axisId: axis.id, column, knownMove, moveError }))}>
      <h3>Now move {axis.name} alone, from rest to rest</h3>
      <SelectField
        label={`Which number is ${axis.name}`}
        value={String(column ?? '')}
        none="the one that moves"
        options={state.columns.map((one) => ({ value: String(one.column), label: one.name }))}
        onChange={(value) => setColumn(value === '' ? null : Number(value))}
      />
      <TextField
        label="Length of the move"
        value={knownMove}
        onText={setKnownMove}
        hint={`in ${unitWord(unit)} or with its unit, such as by a handwheel's scale; it tells what a number is worth`}
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
      <FormEnd button="I am about to move it" disabled={busy} trouble={trouble}>
        {column !== null && (
          <button type="button" disabled={busy} onClick={() => run(() => tell('readout/choose', { column }))}>
            Go on without a move
          </button>
        )}
      </FormEnd>
    </Form>
  )
}

/** The numbers while the table is moved. */
export function LearnMoving({ state }: { state: LearningState }) {
  const { axis } = usePage()
  const { busy, trouble, run } = useAction()
  return (
    <div class="card">
      <h3>Move {axis.name} and let it rest for a second</h3>
      <table class="narrow">
        <caption>The numbers as they stand in the lines</caption>
        <Heads names={['Number', 'Now', 'Moved by']} />
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
