import { isCounting, type Store } from '../../store/index.js'
import type { LengthUnit } from '../../units/index.js'

/** What a store holds of one axis; of a machine without one, `axis` is null. */
export interface AxisInventory {
  readonly machine: string
  readonly unit: LengthUnit
  readonly axis: string | null
  /** Whether it is the only one of its kind in the store, so that commands need not name it. */
  readonly only: boolean
  /** Runs that count. */
  readonly runs: number
  /** Directions that have a table. */
  readonly tables: number
}

/** What a store holds, axis by axis. */
export function inventoryOf(store: Store): AxisInventory[] {
  const machines = store.machines.list()
  const axes = machines.flatMap((machine) => store.axes.list(machine.id))
  return machines.flatMap((machine): AxisInventory[] => {
    const { name, unit } = machine
    const own = store.axes.list(machine.id)
    if (own.length === 0) {
      return [{ machine: name, unit, axis: null, only: machines.length === 1, runs: 0, tables: 0 }]
    }
    return own.map((axis) => ({
      machine: name,
      unit: axis.unit,
      axis: axis.name,
      only: axes.length === 1,
      runs: store.runs.list(axis.id).filter(isCounting).length,
      tables: ([1, -1] as const).filter((direction) => store.tables.inForce(axis.id, direction) !== null)
        .length,
    }))
  })
}
