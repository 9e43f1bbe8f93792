import {
  type DayPoint,
  type DriftPoint,
  type DriftSection,
  unnoticedDrift,
} from '../../planning/control-charts/index.js'
import type { Axis, Store } from '../../store/index.js'
import { driftOf, type TableInForce, tablesInForce } from '../recheck/axis-drift.js'
import { daysSinceTable } from './days-since-table.js'

/** How it stands with an axis: the tables in force and the chart of their rechecks. */
export interface AxisState {
  readonly axis: Axis
  readonly inForce: readonly TableInForce[]
  readonly sections: readonly DriftSection[]
  /** The newest point of a drift that no single recheck told of. */
  readonly drift: DriftPoint | null
  /** Sessions since the newest table, by what they moved all feeds by. */
  readonly days: readonly DayPoint[]
}

export function stateOf(store: Store, axis: Axis, nowIso: string): AxisState {
  const sections = driftOf(store, axis)
  return {
    axis,
    inForce: tablesInForce(store, axis, nowIso),
    sections,
    drift: unnoticedDrift(sections),
    days: daysSinceTable(store, axis),
  }
}
