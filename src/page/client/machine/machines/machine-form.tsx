import { useState } from 'preact/hooks'
import { type MachineUnit, unitWord } from '../../../../units/index.js'
import type { AxisFields } from '../../../machine-api.js'
import { tell } from '../../model/server.js'
import { CheckField } from '../../parts/check-field.js'
import { Form } from '../../parts/form.js'
import { SelectField } from '../../parts/select-field.js'
import { TextField } from '../../parts/text-field.js'
import { useAction } from '../../parts/use-action.js'
import { FormEnd } from '../form-end.js'
import { RangesField } from './ranges-field.js'
import { travelHint } from './travel-hint.js'
import { WaysFields } from './ways-fields.js'

const EMPTY = { machine: '', name: 'X', travel: '', lowest: '0', highest: '10', marks: '', ranges: '' }

/** A new machine with its first axis: what it is called, how far it travels, what stands on its dial. */
export function MachineForm({ onAdded }: { onAdded: (axisId: number) => void }) {
  const [fields, setFields] = useState(EMPTY)
  const [ways, setWays] = useState<Pick<AxisFields, 'plusWay' | 'minusWay'>>({ plusWay: '', minusWay: '' })
  const [unit, setUnit] = useState<MachineUnit>('in')
  const [rotary, setRotary] = useState(false)
  const { busy, trouble, run } = useAction()
  const field = (
    name: keyof typeof EMPTY,
    label: string,
    more: { hint?: string; numeric?: boolean } = {},
  ) => (
    <TextField
      label={label}
      value={fields[name]}
      onText={(text) => setFields({ ...fields, [name]: text })}
      {...more}
    />
  )
  const add = (): Promise<boolean> =>
    run(async () => {
      const { machine: name, ...axis } = fields
      const rest = { stepped: false, clicks: false, rotary, pitch: '' }
      const request = { name, unit, spindle: '', motor: '', axis: { ...axis, ...ways, ...rest } }
      const { axisId } = await tell('machine/add', request)
      if (axisId !== null) onAdded(axisId)
    })
  return (
    <Form onSend={() => add()}>
      <div class="fields">
        {field('machine', 'Machine name', { hint: 'as you call it in the shop' })}
        <SelectField label="Units" value={unit} options={['in', 'mm']} onChange={setUnit} />
        {field('name', 'Axis name', { hint: 'the one with the power feed' })}
        {field('travel', 'Travel', {
          hint: travelHint(
            fields.travel,
            rotary ? 'deg' : unit,
            `how far the table goes, in ${unitWord(rotary ? 'deg' : unit)} or with its unit`,
          ),
          numeric: true,
        })}
        {field('lowest', 'Lowest number', { hint: 'on the dial, or its first letter' })}
        {field('highest', 'Highest number', { hint: 'on the dial, or its last letter' })}
        {field('marks', 'Marks', {
          hint: 'numbers with a line at the dial, such as 2 4 6 8, or A B C; may stay empty',
        })}
        <RangesField value={fields.ranges} onText={(ranges) => setFields({ ...fields, ranges })} />
      </div>
      <CheckField
        label="It turns: a rotary table, measured in degrees"
        checked={rotary}
        onChange={setRotary}
      />
      <WaysFields fields={ways} onChange={(changes) => setWays({ ...ways, ...changes })} />
      <FormEnd button="Add machine" disabled={busy} trouble={trouble} />
    </Form>
  )
}
