import { useState } from 'preact/hooks'
import type { MachineUnit } from '../../../units/index.js'
import type { CutNoteRequest } from '../../api.js'
import { tell } from '../model/server.js'
import { usePage } from '../model/use-page.js'
import { Notice } from '../parts/notice.js'
import { SelectField } from '../parts/select-field.js'
import { TextField } from '../parts/text-field.js'
import { useAction } from '../parts/use-action.js'
import type { Fields } from './cut-fields.js'

type Outcome = CutNoteRequest['outcome']

const OUTCOMES: readonly { readonly value: Outcome; readonly label: string }[] = [
  { value: 'good', label: 'good cut' },
  { value: 'chatter', label: 'chatter' },
  { value: 'rough', label: 'rough finish' },
  { value: 'rubbed', label: 'rubbed, did not cut' },
  { value: 'slowed', label: 'motor slowed down' },
  { value: 'broke', label: 'tool broke' },
]

/** What of a cut is already known when it is noted, as it was typed or worked out; bare numbers in the unit shown. */
export interface CutToNote {
  readonly asked: Fields
  readonly unit: MachineUnit
  /** What the machine was set to, where it could be worked out. */
  readonly rpm: string
  readonly feed: string
}

/** Notes what happened at a cut, so that the next one like it starts from there. */
export function CutNote({ cut: { asked, unit, rpm, feed } }: { cut: CutToNote }) {
  const { axis } = usePage()
  const [fields, setFields] = useState({ rpm, feed, finish: '', note: '' })
  const [outcome, setOutcome] = useState<Outcome>('good')
  const [told, setTold] = useState<string | null>(null)
  const { busy, trouble, run } = useAction()
  const change = (changes: Partial<typeof fields>): void => setFields({ ...fields, ...changes })
  const { material, cutterMaterial, diameter, teeth, width, depth } = asked
  if (material === '' || cutterMaterial === '') return null
  const keep = (): Promise<boolean> =>
    run(async () => {
      const { text } = await tell('cut/note', {
        ...{ axisId: axis.id, unit, cutter: asked.cutter ?? 'end mill', pass: asked.pass ?? 'roughing' },
        ...{ material, cutterMaterial, diameter, teeth, width, depth, outcome },
        ...fields,
      })
      setTold(text)
    })
  return (
    <details>
      <summary>Note what happened at this cut</summary>
      <form
        onSubmit={(event) => {
          event.preventDefault()
          void keep()
        }}
      >
        <SelectField label="What happened" value={outcome} options={OUTCOMES} onChange={setOutcome} />
        <div class="fields">
          <TextField
            label="Spindle speed"
            value={fields.rpm}
            onText={(text) => change({ rpm: text })}
            hint="rpm, as it was set"
            numeric
          />
          <TextField
            label="Feed"
            value={fields.feed}
            onText={(text) => change({ feed: text })}
            hint={`${unit}/min or with its unit, as it was set`}
            numeric
          />
          <TextField
            label="Measured roughness"
            value={fields.finish}
            onText={(text) => change({ finish: text })}
            hint="Ra, such as 1.6um or 63uin; may stay empty"
          />
          <TextField
            label="In your own words"
            value={fields.note}
            onText={(text) => change({ note: text })}
            hint="may stay empty"
          />
        </div>
        <div class="buttons">
          <button type="submit" disabled={busy}>
            Keep this note
          </button>
        </div>
        {trouble !== null && <Notice kind="trouble">{trouble}</Notice>}
        {told !== null && <Notice kind="good">Kept: {told}</Notice>}
      </form>
    </details>
  )
}
