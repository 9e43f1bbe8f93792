import { useState } from 'preact/hooks'
import type { Axis } from '../../../../store/index.js'
import { formatDial, fromMm, type MachineUnit, unitWord } from '../../../../units/index.js'
import type { AxisFields, NewAxisFields } from '../../../machine-api.js'
import { CheckField } from '../../parts/check-field.js'
import { Form } from '../../parts/form.js'
import { TextField } from '../../parts/text-field.js'
import { useAction } from '../../parts/use-action.js'
import { FormEnd } from '../form-end.js'
import { RangesField } from './ranges-field.js'
import { travelHint } from './travel-hint.js'
import { WaysFields } from './ways-fields.js'

const EMPTY: AxisFields = {
  ...{ name: '', travel: '', lowest: '0', highest: '10', marks: '' },
  ...{ stepped: false, clicks: false, rotary: false, pitch: '', plusWay: '', minusWay: '', push: '' },
}

/** What is known of an axis and its dial, to be typed or changed. */
export function AxisForm({
  axis,
  unit,
  onSave,
  onLeave,
}: {
  /** The axis to be changed; null for a new one. */
  axis: Axis | null
  /** Of the machine: bare numbers are in it, unless the axis turns. */
  unit: MachineUnit
  onSave: (fields: NewAxisFields) => Promise<unknown>
  onLeave: () => void
}) {
  const [fields, setFields] = useState<NewAxisFields>(axis === null ? EMPTY : fieldsOf(axis))
  const { busy, trouble, run } = useAction()
  const turns = fields.rotary === true
  const bare = `in ${unitWord(turns ? 'deg' : unit)}`
  const change = (changes: Partial<NewAxisFields>): void => setFields({ ...fields, ...changes })
  const text = (
    name: 'name' | 'travel' | 'lowest' | 'highest' | 'marks' | 'pitch' | 'push',
    label: string,
    more: { hint?: string; numeric?: boolean } = {},
  ) => (
    <TextField
      label={label}
      value={fields[name] ?? ''}
      onText={(typed) => change({ [name]: typed })}
      {...more}
    />
  )
  return (
    <Form
      onSend={() =>
        run(async () => {
          await onSave(fields)
          onLeave()
        })
      }
    >
      <h3>{axis === null ? 'A new axis' : `Change ${axis.name}`}</h3>
      <div class="fields">
        {text('name', 'Axis name')}
        {text('travel', 'Travel', {
          hint: travelHint(fields.travel, turns ? 'deg' : unit, `${bare}, or with its unit`),
          numeric: true,
        })}
        {text('lowest', 'Lowest number', { hint: 'on the dial, or its first letter' })}
        {text('highest', 'Highest number', { hint: 'on the dial, or its last letter' })}
        {text('marks', 'Marks', { hint: 'such as 2 4 6 8 or A B C; may stay empty' })}
        {axis === null && <RangesField value={fields.ranges} onText={(ranges) => change({ ranges })} />}
        {text('pitch', turns ? 'One turn of the handle' : 'Leadscrew pitch', {
          hint: `${turns ? 'how far it turns the table' : 'travel of one turn'}, ${bare} or with its unit; may stay empty`,
        })}
        {text('push', 'Push of the feed drive', {
          hint: 'measured with a spring scale, such as 60lbf or 250N; may stay empty',
        })}
      </div>
      <WaysFields fields={fields} onChange={change} />
      <CheckField
        label="It turns: a rotary table, measured in degrees"
        checked={turns}
        onChange={(rotary) => change({ rotary })}
      />
      <CheckField
        label="The dial has only its marks, nothing between them"
        checked={fields.stepped}
        onChange={(stepped) => change({ stepped })}
      />
      <CheckField
        label="The dial clicks into place, so that setting it again adds no scatter"
        checked={fields.clicks}
        onChange={(clicks) => change({ clicks })}
      />
      <FormEnd button={axis === null ? 'Add axis' : 'Save'} disabled={busy} trouble={trouble}>
        <button type="button" onClick={onLeave}>
          Cancel
        </button>
      </FormEnd>
    </Form>
  )
}

function fieldsOf(axis: Axis): AxisFields {
  const length = (mm: number): string => String(Number(fromMm(mm, axis.unit).toFixed(6)))
  return {
    name: axis.name,
    travel: length(axis.travelMm),
    lowest: formatDial(axis.dialMin, axis),
    highest: formatDial(axis.dialMax, axis),
    marks: axis.marks.map((mark) => formatDial(mark, axis)).join(', '),
    stepped: axis.stepped,
    clicks: axis.dialClicks,
    rotary: axis.rotary,
    pitch: axis.leadscrewPitchMm === null ? '' : length(axis.leadscrewPitchMm),
    plusWay: axis.ways?.plus ?? '',
    minusWay: axis.ways?.minus ?? '',
    push: axis.pushN === null ? '' : `${Number(axis.pushN.toFixed(1))}N`,
  }
}
