import { UsageError } from '../../../errors/index.js'
import { addAxis } from '../../../jobs/index.js'
import type { Machine, Store } from '../../../store/index.js'
import { parseRangeNames } from '../../../units/index.js'
import type { MachinesAnswer, NewAxisFields } from '../../machine-api.js'
import {
  addAxisRequest,
  addMachineRequest,
  changeAxisRequest,
  changeMachineRequest,
  machineRequest,
} from '../../machine-requests.js'
import { axisRequest, emptyRequest } from '../../requests.js'
import { type Desk, nowIso } from '../desk.js'
import { postRoute, type Route } from '../http/post-route.js'
import { axisOfFields, machineOf } from './machine-fields.js'
import { simulatedAxis } from './simulated-mill.js'

/** Machines and their axes: all of them, adding, changing, putting away and bringing back. */
export function machineRoutes({ store, live, send }: Desk): Route[] {
  const told = (): void => send({ kind: 'machines' })
  return [
    ['GET /api/machines', () => machinesAnswer(store)],
    postRoute('machine/add', addMachineRequest, ({ axis, ...fields }) => {
      const answer = store.together(() => {
        const machine = store.machines.add(machineOf(fields), nowIso())
        return { machineId: machine.id, axisId: axis === null ? null : added(machine, axis) }
      })
      told()
      return answer
    }),
    postRoute('machine/simulate', emptyRequest, async () => {
      const { id } = await simulatedAxis(store, nowIso())
      told()
      return { axisId: id }
    }),
    postRoute('machine/change', changeMachineRequest, ({ machineId, ...fields }) => {
      store.machines.change(machineId, machineOf(fields), nowIso())
      told()
    }),
    postRoute('machine/retire', machineRequest, ({ machineId }) => {
      for (const axis of store.axes.list(machineId)) refuseWhileFollowed(axis.id)
      store.machines.remove(machineId, nowIso())
      told()
    }),
    postRoute('machine/bring-back', machineRequest, ({ machineId }) => {
      store.machines.bringBack(machineId, nowIso())
      told()
    }),
    postRoute('axis/add', addAxisRequest, ({ machineId, ...fields }) => {
      const axisId = added(store.machines.byId(machineId), fields)
      told()
      return { axisId }
    }),
    postRoute('axis/change', changeAxisRequest, ({ axisId, ...fields }) => {
      refuseWhileFollowed(axisId)
      const { unit } = store.machines.byId(store.axes.byId(axisId).machineId)
      store.axes.change(axisId, axisOfFields(fields, unit), nowIso())
      told()
      send({ kind: 'changed', axisId })
    }),
    postRoute('axis/retire', axisRequest, ({ axisId }) => {
      refuseWhileFollowed(axisId)
      store.axes.remove(axisId, nowIso())
      told()
    }),
    postRoute('axis/bring-back', axisRequest, ({ axisId }) => {
      store.axes.bringBack(axisId, nowIso())
      told()
    }),
  ]

  /** Adds an axis, or one for each range of its dial. @returns the id of the first */
  function added({ id, unit }: Machine, { ranges = '', ...fields }: NewAxisFields): number {
    const names = ranges.trim() === '' ? [] : parseRangeNames(ranges, 'Ranges of the dial')
    const [first] = addAxis(store, id, axisOfFields(fields, unit), names, nowIso())
    return first.id
  }

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
