import { useState } from 'preact/hooks'
import type { LearningState } from '../../../readout-api.js'
import { tell } from '../../model/server.js'
import { CheckField } from '../../parts/check-field.js'
import { Form } from '../../parts/form.js'
import { TextField } from '../../parts/text-field.js'
import { useAction } from '../../parts/use-action.js'
import { FormEnd } from '../form-end.js'

/** What the measuring views remember of the readout; a profile that was just learned is the one to use. */
const KEPT_AS = 'tablepace.readout'

/** What was learned of a readout, to be kept under a name. */
export function LearnKeep({ state, onSaved }: { state: LearningState; onSaved: () => Promise<void> }) {
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
    <Form onSend={() => save()}>
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
      <FormEnd button="Keep it" disabled={busy || name.trim() === ''} trouble={trouble} />
    </Form>
  )
}
