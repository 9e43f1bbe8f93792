import type { Axis, Run } from '../../store/index.js'
import { isCutting } from '../../store/run-load.js'
import { shortId } from '../../text/index.js'
import {
  directionSign,
  feedUnit,
  formatDial,
  formatFeed,
  formatLength,
  formatPercentHalfWidth,
} from '../../units/index.js'
import type { ShownRun } from '../json-shapes.js'
import { textTable } from './text-table.js'

/** Runs that are shown; only stored ones can have been dropped. */
type ListedRun = ShownRun & Partial<Pick<Run, 'droppedAt' | 'dropReason' | 'tags' | 'check'>>

/** Runs one a line: setting, feed with its own interval, travel, coast, and why one is left out. */
export function renderRuns(runs: readonly ListedRun[], axis: Pick<Axis, 'unit' | 'lettered'>): string {
  const { unit } = axis
  return textTable(
    [
      { title: 'run', align: 'left' },
      { title: 'dial', align: 'right' },
      { title: 'dir', align: 'left' },
      { title: feedUnit(unit), align: 'right' },
      { title: 'this run, 95 %', align: 'right' },
      { title: 'travel', align: 'right' },
      { title: 'time', align: 'right' },
      { title: 'coast', align: 'right' },
      { title: '', align: 'left' },
    ],
    runs.map((run) => ({
      cells: [
        run.id === null ? '–' : shortId(run.id),
        formatDial(run.dial, axis),
        directionSign(run.direction),
        run.feed === null ? '–' : formatFeed(run.feed.feedMmPerMin, run.feed.interval95MmPerMin, unit),
        run.feed === null ? '–' : formatPercentHalfWidth(run.feed.feedMmPerMin, run.feed.interval95MmPerMin),
        formatLength(run.distanceMm, unit),
        `${run.durationS.toFixed(1)} s`,
        run.coast === null ? '–' : formatLength(run.coast.distanceMm, unit),
        run.source === 'stopwatch' ? run.source : '',
      ],
      note: noteOn(run),
    })),
  )
}

/** Why a run does not count, or that it was made while cutting or as a check run; null where there is nothing to say. */
function noteOn(run: ListedRun): string | null {
  if (run.rejection !== null) return `left out: ${run.rejection.message}`
  if (run.droppedAt != null) return `left out: ${run.dropReason ?? 'no reason given'}`
  const said = [
    ...(run.tags !== undefined && isCutting({ tags: run.tags }) ? ['while cutting'] : []),
    ...(run.check === true ? ['check run: counts for its day, not for the table'] : []),
  ]
  return said.length > 0 ? said.join('; ') : null
}
