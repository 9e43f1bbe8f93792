import { DataError, UsageError } from '../../errors/index.js'
import { driftPicture } from '../../pictures/index.js'
import type { Machine } from '../../store/index.js'
import type { GlobalOptions } from '../context.js'
import { writePicture } from '../write-picture.js'
import type { AxisState } from './axis-state.js'

/**
 * Writes the control chart of the one axis that is meant.
 *
 * @throws UsageError `which-axis` where several have rechecks; DataError `no-recheck`
 */
export async function writeDriftPicture(
  path: string,
  machine: Machine,
  states: readonly AxisState[],
  options: GlobalOptions,
): Promise<void> {
  const charted = states.filter((state) => state.sections.length > 0)
  const [state, ...others] = charted
  if (state === undefined) {
    throw new DataError(
      'no-recheck',
      `Nothing was rechecked on ${machine.name} yet, so there is nothing to chart.`,
      'Recheck first: tablepace recheck --within 3 --reason "what was done" --port PATH',
    )
  }
  if (others.length > 0) {
    throw new UsageError(
      'which-axis',
      `Several axes were rechecked: ${charted.map(({ axis }) => axis.name).join(', ')}.`,
      'Say which with --axis AXIS.',
    )
  }
  await writePicture(path, driftDrawing(machine, state), options)
}

/** The control chart of an axis as SVG. */
export function driftDrawing(machine: Machine, state: AxisState): string {
  const newest = state.sections.at(-1)?.points.at(-1)
  const subtitles = [
    'Feed against the table, all marks together; weighted average (EWMA, weight 0.3) and its limits at three standard deviations',
    ...(newest === undefined
      ? []
      : [`newest recheck ${newest.at.slice(0, 10)}: ${newest.verdict}, reason: ${newest.reason}`]),
  ]
  const title = `${machine.name} · ${state.axis.name}: does the table still hold?`
  return driftPicture({ title, subtitles }, state.sections)
}
