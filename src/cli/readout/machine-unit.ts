import { existsSync } from 'node:fs'
import { UsageError } from '../../errors/index.js'
import type { LengthUnit } from '../../units/index.js'
import { type GlobalOptions, storePath, withStore } from '../context.js'

/** Options that tell which machine, and which axis of it, a readout is on. */
export interface MachineOfReadout extends GlobalOptions {
  readonly machine?: string
  readonly axis?: string
}

/**
 * The unit of the machine that a readout is on: the one named, else that of all machines in the store; degrees where the
 * axis named turns.
 *
 * @returns null where the store holds none
 * @throws UsageError `unit-missing` where the machines are in different units and none is named
 */
export async function machineUnit(options: MachineOfReadout): Promise<LengthUnit | null> {
  const [unit, ...others] = await machineUnits(options)
  if (others.length === 0) return unit ?? null
  throw new UsageError(
    'unit-missing',
    'The machines are in different units, and it is not clear which one this readout is on.',
    'Name it with --machine NAME, or say --unit in or --unit mm.',
  )
}

/** As `machineUnit`, and null where the machines are in different units. */
export async function oneMachineUnit(options: MachineOfReadout): Promise<LengthUnit | null> {
  const [unit, ...others] = await machineUnits(options)
  return others.length === 0 ? (unit ?? null) : null
}

async function machineUnits({ machine, axis: named, ...options }: MachineOfReadout): Promise<LengthUnit[]> {
  if (machine === undefined && !existsSync(await storePath(options))) return []
  const units = await withStore(options, 'read', (store) => {
    const machines = machine === undefined ? store.machines.list() : [store.machines.byName(machine)]
    return machines.map(({ id, unit }) => {
      const axis = store.axes.list(id).find(({ name }) => name.toLowerCase() === named?.toLowerCase())
      return axis?.unit ?? unit
    })
  })
  return [...new Set(units)]
}
