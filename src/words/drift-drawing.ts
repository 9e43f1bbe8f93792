import type { AxisState } from '../jobs/index.js'
import { driftPicture } from '../pictures/index.js'
import type { Machine } from '../store/index.js'

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
  return driftPicture({ title, subtitles }, state.sections, state.days)
}
