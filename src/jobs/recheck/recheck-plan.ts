import {
  bottomMiddleTop,
  type NextRuns,
  planRecheck,
  type RecheckOutlook,
} from '../../planning/recheck/index.js'
import type { Axis, Store, StoredTable } from '../../store/index.js'
import { nowIso as now } from '../now.js'
import { evidenceOnDays } from './carried-table.js'

/** The runs that a recheck begins with. */
export interface PlannedRuns {
  readonly runs: readonly NextRuns[]
  /** Null where nothing tells how far runs scatter. */
  readonly outlook: RecheckOutlook | null
}

/**
 * The runs that tell most about tables; where nothing is known of the scatter, two each at the lowest mark, in the middle
 * and at the highest, so that the recheck itself tells it. None for tables without a mark that moves.
 */
export function recheckPlan(
  store: Store,
  axis: Axis,
  tables: readonly StoredTable[],
  withinPercent: number,
  nowIso = now(),
): PlannedRuns {
  const { tables: checked, earlier, options } = evidenceOnDays(store, axis, tables, [], nowIso)
  const planned = planRecheck(checked, earlier, withinPercent, options)
  if (planned !== null) {
    const { runs, finest, decides, showsTwice } = planned
    return { runs, outlook: { finest, decides, showsTwice: showsTwice() } }
  }
  const moving = (tables[0]?.marks ?? []).filter((mark) => mark.feedMmPerMin > 0)
  return { runs: bottomMiddleTop(moving).map(({ dial }) => ({ dial, runs: 2 })), outlook: null }
}
