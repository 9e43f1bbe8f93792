import type { PageMachine } from '../../../api.js'
import { tell } from '../../model/server.js'
import { Notice } from '../../parts/notice.js'
import { useAction } from '../../parts/use-action.js'
import { AxisForm } from './axis-form.js'
import { AxisLine } from './axis-line.js'
import { ChangeMachine } from './change-machine.js'
import type { Editing } from './editing.js'

/** One machine with its axes. */
export function MachineCard({ machine, open, setOpen, leave, reload }: Editing & { machine: PageMachine }) {
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
