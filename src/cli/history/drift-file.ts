import { DataError, UsageError } from '../../errors/index.js'
import type { AxisState } from '../../jobs/index.js'
import type { Machine } from '../../store/index.js'
import { driftDrawing } from '../../words/index.js'
import type { WritingOptions } from '../context.js'
import { writePicture } from '../render/write-picture.js'

/**
 * Writes the control chart of the one axis that is meant.
 *
 * @throws UsageError `which-axis` where several have rechecks; DataError `no-recheck`; as `writePicture`
 */
export async function writeDriftPicture(
  path: string,
  machine: Machine,
  states: readonly AxisState[],
  options: WritingOptions & { readonly store: string },
): Promise<void> {
  const rechecked = states.filter((state) => state.sections.length > 0)
  // Without a recheck anywhere the days since a table are a chart of their own.
  const charted = rechecked.length > 0 ? rechecked : states.filter((state) => state.days.length > 0)
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
      `Several axes have a chart: ${charted.map(({ axis }) => axis.name).join(', ')}.`,
      'Name one with --axis NAME.',
    )
  }
  await writePicture(path, driftDrawing(machine, state), options.store, options)
}
