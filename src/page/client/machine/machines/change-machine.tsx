import { useState } from 'preact/hooks'
import type { PageMachine } from '../../../api.js'
import type { MachineFields } from '../../../machine-api.js'
import { tell } from '../../model/server.js'
import { Form } from '../../parts/form.js'
import { SelectField } from '../../parts/select-field.js'
import { TextField } from '../../parts/text-field.js'
import { useAction } from '../../parts/use-action.js'
import { FormEnd } from '../form-end.js'
import type { Editing } from './editing.js'

/** The fields of a machine, to be changed. */
export function ChangeMachine({
  machine,
  leave,
  reload,
}: Omit<Editing, 'open' | 'setOpen'> & { machine: PageMachine }) {
  const [fields, setFields] = useState<MachineFields>({
    name: machine.name,
    unit: machine.unit,
    spindle: machine.spindleRpm.join(', '),
    motor: machine.motorPowerW === null ? '' : `${Number(machine.motorPowerW.toFixed(1))}W`,
  })
  const { busy, trouble, run } = useAction()
  const change = (changes: Partial<MachineFields>): void => setFields({ ...fields, ...changes })
  return (
    <Form
      onSend={() =>
        run(async () => {
          await tell('machine/change', { ...fields, machineId: machine.id })
          await reload()
          leave()
        })
      }
    >
      <h2>Change {machine.name}</h2>
      <div class="fields">
        <TextField label="Machine name" value={fields.name} onText={(name) => change({ name })} />
        <SelectField
          label="Units"
          value={fields.unit}
          options={['in', 'mm']}
          onChange={(unit) => change({ unit })}
        />
        <TextField
          label="Spindle speeds"
          value={fields.spindle}
          onText={(spindle) => change({ spindle })}
          hint="in rpm, such as 90, 140, 225; may stay empty"
        />
        <TextField
          label="Motor power"
          value={fields.motor}
          onText={(motor) => change({ motor })}
          hint="such as 1.5hp or 1100W; may stay empty"
        />
      </div>
      <FormEnd button="Save" disabled={busy} trouble={trouble}>
        <button type="button" onClick={leave}>
          Cancel
        </button>
      </FormEnd>
    </Form>
  )
}
