import type { Axis, MachineAxis, NewAxis } from './entities.js'

export declare class Axes {
  /** @throws UsageError `bad-axis` (what and why in the message), `duplicate-axis` */
  add(machineId: number, axis: NewAxis, nowIso: string): Axis
  /** Axes of one machine in order of name; removed ones only on request. */
  list(machineId: number, options?: { includeRemoved?: boolean }): Axis[]
  change(axisId: number, changes: Partial<NewAxis>, nowIso: string): Axis
  /** Puts the axis away; runs and tables stay. */
  remove(axisId: number, nowIso: string): void
  /** @throws UsageError `unknown-axis`, `duplicate-axis` */
  restore(machineId: number, name: string, nowIso: string): Axis
  /**
   * The axis a command means; machine and axis may be left out where the store has only one.
   * @throws UsageError `unknown-machine`, `unknown-axis`, `which-machine`, `which-axis` naming the known ones
   */
  resolve(asked: { machine?: string | undefined; axis?: string | undefined }): MachineAxis
}
