import type { Machine, NewMachine } from './entities.js'

export declare class Machines {
  /**
   * @throws UsageError `bad-machine` for an empty name or a spindle speed that is not a positive number
   * @throws UsageError `duplicate-machine`
   */
  add(machine: NewMachine, nowIso: string): Machine
  /** Machines in order of name; removed ones only on request. */
  list(options?: { includeRemoved?: boolean }): Machine[]
  /** @throws UsageError `unknown-machine` naming the known ones */
  byName(name: string): Machine
  change(machineId: number, changes: Partial<NewMachine>, nowIso: string): Machine
  /** Puts the machine away with its axes; runs and tables stay. */
  remove(machineId: number, nowIso: string): void
  /** Takes back the last removal of a machine of this name. @throws UsageError `unknown-machine`, `duplicate-machine` */
  restore(name: string, nowIso: string): Machine
}
