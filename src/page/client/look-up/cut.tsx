import { useEffect, useState } from 'preact/hooks'
import { CUTTER_KINDS, type CutterKind } from '../../../planning/cut/data/cutter-kinds.js'
import { NO_CUT_ON_TURNING_AXIS } from '../../../planning/cut/turning-axis.js'
import { formatFeed, type MachineUnit } from '../../../units/index.js'
import type { CutRequest, CutView, MaterialsAnswer } from '../../api.js'
import { ask, tell } from '../model/server.js'
import { inUnit } from '../model/typed.js'
import { usePage } from '../model/use-page.js'
import { Choice } from '../parts/choice.js'
import { Notice } from '../parts/notice.js'
import { useAction } from '../parts/use-action.js'
import { wayShown } from '../parts/way-words.js'
import { CutNote, CutSides, type CutToNote } from './cut-note.js'
import { CutResult } from './cut-result.js'

type Fields = Omit<CutRequest, 'axisId' | 'unit'>

const EMPTY: Fields = {
  ...{ direction: '', material: '', cutterMaterial: 'hss', diameter: '', teeth: '' },
  ...{ speed: '', chipLoad: '', width: '', depth: '', cornerRadius: '', motor: '' },
  ...{ cutter: 'end mill', pass: 'roughing', stickOut: '', push: '' },
}

const LENGTHS = ['diameter', 'chipLoad', 'width', 'depth', 'stickOut', 'cornerRadius'] as const

function lengthsIn(fields: Fields, from: MachineUnit, to: MachineUnit): Partial<Fields> {
  return Object.fromEntries(
    LENGTHS.map((name) => [name, inUnit({ text: fields[name] ?? '', unit: from }, to)]),
  )
}

/** From cutter and material to spindle speed, feed and dial setting; on an axis that turns why there is none. */
export function Cut() {
  const { axis, unit } = usePage()
  if (unit !== 'deg') return <StraightCut unit={unit} />
  const { message, hint } = NO_CUT_ON_TURNING_AXIS
  return (
    <section>
      <h1>Cut with {axis.name}</h1>
      <Notice kind="note">
        {message} {hint}
      </Notice>
    </section>
  )
}

function StraightCut({ unit }: { unit: MachineUnit }) {
  const { axis, data } = usePage()
  const [fields, setFields] = useState<Fields>(EMPTY)
  const [known, setKnown] = useState<readonly string[]>([])
  const [view, setView] = useState<(Worked & { readonly asked: Fields }) | null>(null)
  const { busy, trouble, run } = useAction()
  useEffect(() => {
    ask<MaterialsAnswer>('materials')
      .then(({ materials }) => setKnown(materials))
      .catch(() => {})
  }, [])
  const [typedIn, setTypedIn] = useState(unit)
  if (typedIn !== unit) {
    // What was typed keeps its size when it is shown in the other unit.
    setTypedIn(unit)
    setFields({ ...fields, ...lengthsIn(fields, typedIn, unit) })
  }
  const change = (changes: Partial<Fields>): void => setFields({ ...fields, ...changes })
  const workOut = (): Promise<boolean> =>
    run(async () => {
      setView(null)
      setView({ cut: await tell('cut', { ...fields, axisId: axis.id, unit }), unit, asked: fields })
    })
  const text = (name: keyof Fields, label: string, example = '') => (
    <label>
      {label}
      <input
        value={fields[name]}
        inputMode={name === 'teeth' ? 'numeric' : 'text'}
        autocomplete="off"
        placeholder={example}
        onInput={(event) => change({ [name]: event.currentTarget.value })}
      />
    </label>
  )
  return (
    <section>
      <h1>Cut with {axis.name}</h1>
      <form
        class="card"
        onSubmit={(event) => {
          event.preventDefault()
          void workOut()
        }}
      >
        <div class="fields">
          <label>
            Kind of cutter
            <select
              value={fields.cutter}
              onChange={(event) => change({ cutter: event.currentTarget.value as CutterKind })}
            >
              {CUTTER_KINDS.map((kind) => (
                <option key={kind}>{kind}</option>
              ))}
            </select>
          </label>
          {text('diameter', `Diameter of the cutter, ${unit}`)}
          {text('teeth', 'Teeth')}
          <label>
            Work material
            <select
              value={fields.material}
              onChange={(event) => change({ material: event.currentTarget.value })}
            >
              <option value="">none of these: give speed and chip load</option>
              {known.map((name) => (
                <option key={name}>{name}</option>
              ))}
            </select>
          </label>
          <Choice
            legend="The cutter is of"
            name="cutter-material"
            value={fields.cutterMaterial}
            options={[
              { value: 'hss', label: 'HSS' },
              { value: 'carbide', label: 'carbide' },
            ]}
            onChange={(cutterMaterial) => change({ cutterMaterial })}
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
              onChange={(pass) => change({ pass })}
            />
            {text('stickOut', `Stick-out of the cutter, ${unit}`)}
            {text('cornerRadius', `Corner radius, ${unit}`)}
            {text('motor', "Motor's power", '1.5hp or 1100W')}
            {text('push', 'Push of the feed drive', '60lbf or 250N')}
            <CutSides fields={fields} onChange={change} />
            {data.tables.length > 1 && (
              <Choice
                legend="Feed direction"
                name="cut-direction"
                value={fields.direction}
                options={data.tables.map(({ direction }) => ({
                  value: direction === 1 ? ('+' as const) : ('-' as const),
                  label: wayShown(axis, direction),
                }))}
                onChange={(direction) => change({ direction })}
              />
            )}
          </div>
        </details>
        <div class="buttons">
          <button type="submit" class="main" disabled={busy}>
            Work it out
          </button>
        </div>
        {trouble !== null && <Notice kind="trouble">{trouble}</Notice>}
      </form>
      {view !== null && <CutResult cut={view.cut} unit={view.unit} />}
      {view !== null && <CutNote key={JSON.stringify(view.asked)} cut={toNote(view)} />}
    </section>
  )
}

/** A cut that was worked out, in the unit that was shown then. */
interface Worked {
  readonly cut: CutView
  readonly unit: MachineUnit
}

function toNote({ cut, unit, asked }: Worked & { readonly asked: Fields }): CutToNote {
  const { spindle, feedMmPerMin } = cut.answer.plan
  return {
    ...{ asked, unit },
    rpm: spindle.setRpm === null ? '' : String(Math.round(spindle.setRpm)),
    feed: feedMmPerMin.atSetRpm === null ? '' : formatFeed(feedMmPerMin.atSetRpm, null, unit),
  }
}
