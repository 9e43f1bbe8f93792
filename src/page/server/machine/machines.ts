import { UsageError } from '../../../errors/index.js'
import type { Store } from '../../../store/index.js'
import type { MachinesAnswer } from '../../machine-api.js'
import {
  addAxisRequest,
  addMachineRequest,
  changeAxisRequest,
  changeMachineRequest,
  machineRequest,
} from '../../machine-requests.js'
import { axisRequest, emptyRequest } from '../../requests.js'
import { type Desk, nowIso } from '../desk.js'
import { type Route, taking } from '../http/taking.js'
import { axisOfFields, machineOf } from './machine-fields.js'
import { simulatedAxis } from './simulated-mill.js'

/** Machines and their axes: all of them, adding, changing, putting away and bringing back. */
export function machineRoutes({ store, live, send }: Desk): Route[] {
  const told = (): void => send({ kind: 'machines' })
  return [
    ['GET /api/machines', () => machinesAnswer(store)],
    taking('machine/add', addMachineRequest, ({ axis, ...fields }) => {
      const added = store.together(() => {
        const machine = store.machines.add(machineOf(fields), nowIso())
        const first =
          axis === null ? null : store.axes.add(machine.id, axisOfFields(axis, machine.unit), nowIso())
        return { machineId: machine.id, axisId: first?.id ?? null }
      })
      told()
      return added
    }),
    taking('machine/simulate', emptyRequest, async () => {
      const { id } = await simulatedAxis(store, nowIso())
      told()
      return { axisId: id }
    }),
    taking('machine/change', changeMachineRequest, ({ machineId, ...fields }) => {
      store.machines.change(machineId, machineOf(fields), nowIso())
      told()
    }),
    taking('machine/retire', machineRequest, ({ machineId }) => {
      for (const axis of store.axes.list(machineId)) refuseWhileFollowed(axis.id)
      store.machines.remove(machineId, nowIso())
      told()
    }),
    taking('machine/bring-back', machineRequest, ({ machineId }) => {
      store.machines.bringBack(machineId, nowIso())
      told()
    }),
    taking('axis/add', addAxisRequest, ({ machineId, ...fields }) => {
      const { unit } = store.machines.byId(machineId)
      const { id } = store.axes.add(machineId, axisOfFields(fields, unit), nowIso())
      told()
      return { axisId: id }
    }),
    taking('axis/change', changeAxisRequest, ({ axisId, ...fields }) => {
      refuseWhileFollowed(axisId)
      const { unit } = store.machines.byId(store.axes.byId(axisId).machineId)
      store.axes.change(axisId, axisOfFields(fields, unit), nowIso())
      told()
      send({ kind: 'changed', axisId })
    }),
    taking('axis/retire', axisRequest, ({ axisId }) => {
      refuseWhileFollowed(axisId)
      store.axes.remove(axisId, nowIso())
      told()
    }),
    taking('axis/bring-back', axisRequest, ({ axisId }) => {
      store.axes.bringBack(axisId, nowIso())
      told()
    }),
  ]

  /** A readout that follows an axis knows it as it was when it was opened. */
  function refuseWhileFollowed(axisId: number): void {
    if (!live.follows(axisId)) return
    throw new UsageError(
      'readout-open',
      `The readout is connected to ${store.axes.byId(axisId).name}.`,
      'Disconnect it first.',
    )
  }
}

function machinesAnswer(store: Store): MachinesAnswer {
  const all = { includeRemoved: true }
  return {
    machines: store.machines
      .list(all)
      .map((machine) => ({ ...machine, axes: store.axes.list(machine.id, all) })),
  }
}
