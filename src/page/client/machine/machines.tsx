import { useState } from 'preact/hooks'
import type { Axis } from '../../../store/index.js'
import { formatDial, formatLength, type LengthUnit } from '../../../units/index.js'
import type { PageMachine } from '../../api.js'
import type { MachineFields, MachinesAnswer } from '../../machine-api.js'
import { tell } from '../model/server.js'
import { usePage } from '../model/use-page.js'
import { Notice } from '../parts/notice.js'
import { TextField } from '../parts/text-field.js'
import { useAction } from '../parts/use-action.js'
import { useAnswer } from '../parts/use-answer.js'
import { AxisForm } from './axis-form.js'
import { MachineForm } from './machine-form.js'

/** What is being changed: a machine, an axis, or a new one of either. */
type Open =
  | { readonly kind: 'machine' | 'axis'; readonly id: number }
  | { readonly kind: 'new-axis'; readonly id: number }
  | { readonly kind: 'new-machine' }

/** All machines with their axes: add, change, retire and bring back. */
export function Machines() {
  const { start, choose } = usePage()
  const { answer, trouble, reload } = useAnswer<MachinesAnswer>('machines', start)
  const [open, setOpen] = useState<Open | null>(null)
  const leave = (): void => setOpen(null)
  const machines = answer?.machines ?? []
  const retired = machines.filter((machine) => machine.removedAt !== null)
  return (
    <section>
      <h1>Machines and axes</h1>
      {trouble !== null && <Notice kind="trouble">{trouble}</Notice>}
      {machines
        .filter((machine) => machine.removedAt === null)
        .map((machine) => (
          <MachineCard key={machine.id} {...{ machine, open, setOpen, leave, reload }} />
        ))}
      {open?.kind === 'new-machine' ? (
        <>
          <MachineForm
            onAdded={(axisId) => {
              choose(axisId)
              leave()
              void reload()
            }}
          />
          <div class="buttons">
            <button type="button" onClick={leave}>
              Leave it
            </button>
          </div>
        </>
      ) : (
        <div class="buttons">
          <button type="button" onClick={() => setOpen({ kind: 'new-machine' })}>
            Add a machine
          </button>
        </div>
      )}
      {retired.length > 0 && (
        <>
          <h2>Retired</h2>
          <ul class="plain">
            {retired.map((machine) => (
              <li key={machine.id}>
                {machine.name}
                <BringBack
                  name={machine.name}
                  work={() => tell('machine/bring-back', { machineId: machine.id })}
                  reload={reload}
                />
              </li>
            ))}
          </ul>
        </>
      )}
    </section>
  )
}

interface Editing {
  readonly open: Open | null
  readonly setOpen: (open: Open) => void
  readonly leave: () => void
  readonly reload: () => Promise<void>
}

function MachineCard({ machine, open, setOpen, leave, reload }: Editing & { machine: PageMachine }) {
  const { busy, trouble, run } = useAction()
  const { id, unit, spindleRpm, motorPowerW } = machine
  const retire = (): Promise<boolean> =>
    run(async () => {
      await tell('machine/retire', { machineId: id })
      await reload()
    })
  if (open?.kind === 'machine' && open.id === id) {
    return <ChangeMachine machine={machine} leave={leave} reload={reload} />
  }
  return (
    <div class="card">
      <h2>{machine.name}</h2>
      <p>
        {unit === 'in' ? 'inch' : 'metric'} · spindle{' '}
        {spindleRpm.length === 0 ? 'speeds not given' : `${spindleRpm.join(', ')} rpm`}
        {motorPowerW === null ? '' : ` · motor ${Math.round(motorPowerW)} W`}
      </p>
      <div class="buttons">
        <button type="button" onClick={() => setOpen({ kind: 'machine', id })}>
          Change {machine.name}
        </button>
        <button type="button" disabled={busy} onClick={retire}>
          Retire {machine.name}
        </button>
      </div>
      {trouble !== null && <Notice kind="trouble">{trouble}</Notice>}
      {machine.axes.map((axis) =>
        open?.kind === 'axis' && open.id === axis.id ? (
          <AxisForm
            key={axis.id}
            axis={axis}
            unit={unit}
            onSave={async (fields) => {
              await tell('axis/change', { ...fields, axisId: axis.id })
              await reload()
            }}
            onLeave={leave}
          />
        ) : (
          <AxisLine key={axis.id} {...{ axis, unit, setOpen, reload }} />
        ),
      )}
      {open?.kind === 'new-axis' && open.id === id ? (
        <AxisForm
          axis={null}
          unit={unit}
          onSave={async (fields) => {
            await tell('axis/add', { ...fields, machineId: id })
            await reload()
          }}
          onLeave={leave}
        />
      ) : (
        <div class="buttons">
          <button type="button" onClick={() => setOpen({ kind: 'new-axis', id })}>
            Add an axis
          </button>
        </div>
      )}
    </div>
  )
}

function AxisLine({
  axis,
  unit,
  setOpen,
  reload,
}: Pick<Editing, 'setOpen' | 'reload'> & { axis: Axis; unit: LengthUnit }) {
  const { busy, trouble, run } = useAction()
  const retire = (): Promise<boolean> =>
    run(async () => {
      await tell('axis/retire', { axisId: axis.id })
      await reload()
    })
  return (
    <div class="axis">
      <p>
        <strong>{axis.name}</strong>: {axisWords(axis, unit)}
      </p>
      {axis.removedAt === null ? (
        <div class="buttons">
          <button
            type="button"
            class="small"
            aria-label={`Change axis ${axis.name}`}
            onClick={() => setOpen({ kind: 'axis', id: axis.id })}
          >
            Change
          </button>
          <button
            type="button"
            class="small"
            aria-label={`Retire axis ${axis.name}`}
            disabled={busy}
            onClick={retire}
          >
            Retire
          </button>
        </div>
      ) : (
        <BringBack
          name={`axis ${axis.name}`}
          work={() => tell('axis/bring-back', { axisId: axis.id })}
          reload={reload}
        />
      )}
      {trouble !== null && <Notice kind="trouble">{trouble}</Notice>}
    </div>
  )
}

function BringBack({
  name,
  work,
  reload,
}: {
  name: string
  work: () => Promise<unknown>
  reload: () => Promise<void>
}) {
  const { busy, trouble, run } = useAction()
  const bringBack = (): Promise<boolean> =>
    run(async () => {
      await work()
      await reload()
    })
  return (
    <>
      <div class="buttons">
        <button
          type="button"
          class="small"
          aria-label={`Bring ${name} back`}
          disabled={busy}
          onClick={bringBack}
        >
          Bring back
        </button>
      </div>
      {trouble !== null && <Notice kind="trouble">{trouble}</Notice>}
    </>
  )
}

function ChangeMachine({
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
    <form
      class="card"
      onSubmit={(event) => {
        event.preventDefault()
        void run(async () => {
          await tell('machine/change', { ...fields, machineId: machine.id })
          await reload()
          leave()
        })
      }}
    >
      <h2>Change {machine.name}</h2>
      <div class="fields">
        <TextField label="Machine name" value={fields.name} onText={(name) => change({ name })} />
        <label>
          Units
          <select
            value={fields.unit}
            onChange={(event) => change({ unit: event.currentTarget.value as LengthUnit })}
          >
            <option value="in">in</option>
            <option value="mm">mm</option>
          </select>
        </label>
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
      <div class="buttons">
        <button type="submit" class="main" disabled={busy}>
          Save
        </button>
        <button type="button" onClick={leave}>
          Leave it
        </button>
      </div>
      {trouble !== null && <Notice kind="trouble">{trouble}</Notice>}
    </form>
  )
}

/** The travel, the dial and what is known of it. */
function axisWords(axis: Axis, unit: LengthUnit): string {
  const marks = axis.marks.length === 0 ? '' : `, marks ${axis.marks.map(formatDial).join(', ')}`
  const kind = axis.stepped ? ', only its marks' : axis.dialClicks ? ', clicks into place' : ''
  const ways = axis.ways === null ? '' : `, + is ${axis.ways.plus}, − is ${axis.ways.minus}`
  const pitch =
    axis.leadscrewPitchMm === null ? '' : `, leadscrew pitch ${formatLength(axis.leadscrewPitchMm, unit)}`
  return `travel ${formatLength(axis.travelMm, unit)}, dial ${formatDial(axis.dialMin)} to ${formatDial(axis.dialMax)}${marks}${kind}${pitch}${ways}`
}
