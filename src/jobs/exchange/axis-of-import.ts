import { DataError, sentence, UsageError, way } from '../../errors/index.js'
import type { TablesRead } from '../../export/index.js'
import type { Axis, Machine, Store } from '../../store/index.js'
import { rangeAxisName, writeDial } from '../../units/index.js'

/** Machine and axis that tables go to, where they are to have other names than in the file. */
export interface ImportTarget {
  readonly machine?: string
  readonly axis?: string
}

/**
 * The axis that tables of a file belong to: found by name, or added as the file describes it.
 *
 * @throws UsageError `other-unit`, `other-dial`; DataError `no-axis-details`
 */
export function placeFor(
  store: Store,
  read: TablesRead,
  target: ImportTarget,
  nowIso: string,
): { machine: Machine; axis: Axis } {
  const names = { machine: target.machine ?? read.machine, axis: target.axis ?? read.axis }
  const rotary = read.unit === 'deg'
  const same = (a: string, b: string) => a.toLowerCase() === b.toLowerCase()
  const machine =
    store.machines.list().find(({ name }) => same(name, names.machine)) ??
    // Degrees say nothing of the machine under an axis that turns.
    store.machines.add({ name: names.machine, unit: rotary ? 'mm' : read.unit, spindleRpm: [] }, nowIso)
  const there = store.axes.list(machine.id).find(({ name }) => same(name, names.axis))
  const unit = there?.unit ?? (rotary ? 'deg' : machine.unit)
  if (unit !== read.unit) {
    const named = there?.rotary ? `${machine.name} ${there.name}` : machine.name
    throw new UsageError(
      'other-unit',
      `${named} is in ${unit} here, and the tables are in ${read.unit}/min.`,
      sentence`Bring them in under a machine of their own${way('machine')}.`,
    )
  }
  const axis =
    there ??
    store.axes.add(machine.id, { name: names.axis, rotary, ...describedAxis(read, names.axis) }, nowIso)
  refuseOtherDial(axis, read, machine.name)
  return { machine, axis }
}

/** The axis as the file describes it: a range of a dial stays one where it keeps the name that says so. */
function describedAxis(
  { axisDetails, axis, machine }: TablesRead,
  name: string,
): NonNullable<TablesRead['axisDetails']> {
  if (axisDetails !== undefined) {
    const { range, ...described } = axisDetails
    const isNamed = range !== undefined && name.toLowerCase() === rangeAxisName(range).toLowerCase()
    return isNamed ? axisDetails : described
  }
  throw new DataError(
    'no-axis-details',
    `The file does not describe axis ${axis} of ${machine}, and it is not in the store.`,
    sentence`Add it first${way('add-axis')}.`,
  )
}

function refuseOtherDial(axis: Axis, { tables, axisDetails }: TablesRead, machine: string): void {
  const dials = tables.flatMap((table) => table.marks.map((mark) => mark.dial))
  const fits =
    dials.every((dial) => dial >= axis.dialMin && dial <= axis.dialMax) &&
    tables.every((table) => table.stepped === axis.stepped) &&
    (axisDetails === undefined ||
      (axisDetails.dialMin === axis.dialMin &&
        axisDetails.dialMax === axis.dialMax &&
        (axisDetails.lettered ?? false) === (axis.lettered ?? false)))
  if (fits) return
  throw new UsageError(
    'other-dial',
    `${machine} ${axis.name} has a dial from ${writeDial(axis.dialMin, axis)} to ${writeDial(axis.dialMax, axis)}${axis.stepped ? ', with only its marks,' : ''} here; the tables are for another.`,
    sentence`Bring them in under an axis of their own${way('axis')}.`,
  )
}
