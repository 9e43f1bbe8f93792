/** What page and server say to each other of the machines, and of what is kept of them. */

import type { PageMachine, Telling } from './api.js'
import type {
  AddAxisRequest,
  AddMachineRequest,
  ChangeAxisRequest,
  ChangeMachineRequest,
  MachineRequest,
} from './machine-requests.js'
import type { AxisRequest, EmptyRequest } from './requests.js'

export type {
  AddMachineRequest,
  AxisFields,
  ChangeAxisRequest,
  ChangeMachineRequest,
  MachineFields,
} from './machine-requests.js'

/** What the page may tell the program of the machines, by its path. */
export interface MachineTold {
  readonly 'machine/add': Telling<AddMachineRequest, AddedMachine>
  /** Adds a mill that was never built, with its runs and its table. */
  readonly 'machine/simulate': Telling<EmptyRequest, AddedAxis>
  readonly 'machine/change': Telling<ChangeMachineRequest, void>
  readonly 'machine/retire': Telling<MachineRequest, void>
  readonly 'machine/bring-back': Telling<MachineRequest, void>
  readonly 'axis/add': Telling<AddAxisRequest, AddedAxis>
  readonly 'axis/change': Telling<ChangeAxisRequest, void>
  readonly 'axis/retire': Telling<AxisRequest, void>
  readonly 'axis/bring-back': Telling<AxisRequest, void>
}

/** A machine that was added, and the axis that came with it; null where none did. */
export interface AddedMachine {
  readonly machineId: number
  readonly axisId: number | null
}

export interface AddedAxis {
  readonly axisId: number
}

/** Every machine with every axis, those put away among them. */
export interface MachinesAnswer {
  readonly machines: readonly PageMachine[]
}
