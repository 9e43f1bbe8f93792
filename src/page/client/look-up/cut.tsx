import { useEffect, useState } from 'preact/hooks'
import { NO_CUT_ON_TURNING_AXIS } from '../../../planning/cut/turning-axis.js'
import { formatFeed, type MachineUnit } from '../../../units/index.js'
import type { CutView, MaterialsAnswer } from '../../api.js'
import { ask, tell } from '../model/server.js'
import { inUnit } from '../model/typed.js'
import { usePage } from '../model/use-page.js'
import { Form } from '../parts/form.js'
import { Notice } from '../parts/notice.js'
import { useAction } from '../parts/use-action.js'
import { CutFields, type Fields } from './cut-fields.js'
import { CutNote, type CutToNote } from './cut-note.js'
import { CutResult } from './cut-result.js'

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
  const { axis } = usePage()
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
  return (
    <section>
      <h1>Cut with {axis.name}</h1>
      <Form onSend={() => workOut()}>
        <CutFields fields={fields} known={known} unit={unit} onChange={change} />
        <div class="buttons">
          <button type="submit" class="main" disabled={busy}>
            Work it out
          </button>
        </div>
        {trouble !== null && <Notice kind="trouble">{trouble}</Notice>}
      </Form>
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
