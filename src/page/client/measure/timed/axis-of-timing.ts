import type { Axis } from '../../../../store/index.js'
import { type DialWriting, NUMBERED } from '../../../../units/index.js'
import type { PageMachine } from '../../../api.js'

/** The name of the axis that a timing was made for, which need not be the one that is shown now. */
export function axisName(machines: readonly PageMachine[], axisId: number): string {
  const found = axisOf(machines, axisId)
  return found === undefined ? 'another axis' : `${found.axis.name} · ${found.machine.name}`
}

/** How the dial of that axis is written. */
export function writingOn(machines: readonly PageMachine[], axisId: number): DialWriting {
  return axisOf(machines, axisId)?.axis ?? NUMBERED
}

function axisOf(
  machines: readonly PageMachine[],
  axisId: number,
): { readonly machine: PageMachine; readonly axis: Axis } | undefined {
  return machines
    .flatMap((machine) => machine.axes.map((axis) => ({ machine, axis })))
    .find(({ axis }) => axis.id === axisId)
}
