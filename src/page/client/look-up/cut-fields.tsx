import { CUTTER_KINDS } from '../../../planning/cut/data/cutter-kinds.js'
import type { MachineUnit } from '../../../units/index.js'
import type { CutRequest } from '../../api.js'
import { usePage } from '../model/use-page.js'
import { Choice } from '../parts/choice.js'
import { SelectField } from '../parts/select-field.js'
import { wayShown } from '../parts/way-words.js'

/** A cut as it is typed. */
export type Fields = Omit<CutRequest, 'axisId' | 'unit'>

/** What a cut is worked out from: what has to be given, and below it what may be. */
export function CutFields({
  fields,
  known,
  unit,
  onChange,
}: {
  fields: Fields
  /** Materials that there are starting values for. */
  known: readonly string[]
  unit: MachineUnit
  onChange: (changes: Partial<Fields>) => void
}) {
  const { axis, data } = usePage()
  const text = (name: keyof Fields, label: string, example = '') => (
    <label>
      {label}
      <input
        value={fields[name]}
        inputMode={name === 'teeth' ? 'numeric' : 'text'}
        autocomplete="off"
        placeholder={example}
        onInput={(event) => onChange({ [name]: event.currentTarget.value })}
      />
    </label>
  )
  return (
    <>
      <div class="fields">
        <SelectField
          label="Kind of cutter"
          value={fields.cutter ?? ''}
          options={CUTTER_KINDS}
          onChange={(cutter) => onChange({ cutter })}
        />
        {text('diameter', `Diameter of the cutter, ${unit}`)}
        {text('teeth', 'Teeth')}
        <SelectField
          label="Work material"
          value={fields.material}
          none="own speed and chip load"
          options={known}
          onChange={(material) => onChange({ material })}
        />
        <Choice
          legend="The cutter is of"
          name="cutter-material"
          value={fields.cutterMaterial}
          options={[
            { value: 'hss', label: 'HSS' },
            { value: 'carbide', label: 'carbide' },
          ]}
          onChange={(cutterMaterial) => onChange({ cutterMaterial })}
        />
        {text('width', `Width of cut, ${unit}`)}
        {text('depth', `Depth of cut, ${unit}`)}
      </div>
      <details>
        <summary>Values of your own</summary>
        <div class="fields">
          {text('speed', 'Cutting speed', '90ft/min or 27m/min')}
          {text('chipLoad', `Chip load a tooth, ${unit}`)}
          <Choice
            legend="Pass"
            name="cut-pass"
            value={fields.pass ?? 'roughing'}
            options={[
              { value: 'roughing', label: 'roughing' },
              { value: 'finishing', label: 'finishing' },
            ]}
            onChange={(pass) => onChange({ pass })}
          />
          {text('stickOut', `Stick-out of the cutter, ${unit}`)}
          {text('cornerRadius', `Corner radius, ${unit}`)}
          {text('motor', "Motor's power", '1.5hp or 1100W')}
          {text('push', 'Push of the feed drive', '60lbf or 250N')}
          <CutSides fields={fields} onChange={onChange} />
          {data.tables.length > 1 && (
            <Choice
              legend="Feed direction"
              name="cut-direction"
              value={fields.direction}
              options={data.tables.map(({ direction }) => ({
                value: direction === 1 ? ('+' as const) : ('-' as const),
                label: wayShown(axis, direction),
              }))}
              onChange={(direction) => onChange({ direction })}
            />
          )}
        </div>
      </details>
    </>
  )
}

/** Where the work lies from the cutter, as one stands in front of the machine. */
const WORK_SIDES = [
  { value: 'front', label: 'in front of it' },
  { value: 'back', label: 'behind it' },
  { value: 'left', label: 'to its left' },
  { value: 'right', label: 'to its right' },
] as const

/** Where the work lies and which way the spindle turns: they decide which feed direction cuts conventionally. */
function CutSides({ fields, onChange }: { fields: Fields; onChange: (changes: Partial<Fields>) => void }) {
  return (
    <>
      <SelectField
        label="The work lies from the cutter, as you stand in front"
        value={fields.workSide ?? ''}
        none="not said"
        options={WORK_SIDES}
        onChange={(value) => onChange({ workSide: value || undefined })}
      />
      <Choice
        legend="The spindle turns, seen from above"
        name="cut-rotation"
        value={fields.rotation ?? 'cw'}
        options={[
          { value: 'cw', label: 'clockwise' },
          { value: 'ccw', label: 'counterclockwise' },
        ]}
        onChange={(rotation) => onChange({ rotation })}
      />
    </>
  )
}
