import { TablepaceError } from '../../errors/index.js'
import { feedAtDial, type Procedure, type RunSheet, runSheet } from '../../planning/index.js'
import { isCounting, type MachineAxis, type Store } from '../../store/index.js'
import type { Direction } from '../../traverse/index.js'

/**
 * A blank run sheet for an axis; travels are suggested from the table in force, or from runs made already where there
 * is none that knows the setting.
 *
 * @param travelMm the same travel for all rows, or null to suggest one for each
 */
export function makeRunSheet(
  store: Store,
  { axis }: MachineAxis,
  procedure: Procedure,
  travelMm: number | null,
): RunSheet {
  return runSheet(procedure, axis, {
    travelMm,
    unit: axis.unit,
    feedAt: (dial, direction) =>
      feedOfTable(store, axis.id, dial, direction) ?? feedOfRuns(store, axis.id, dial),
  })
}

function feedOfTable(store: Store, axisId: number, dial: number, direction: Direction): number | null {
  const table = store.tables.inForce(axisId, direction)
  if (table === null) return null
  try {
    return feedAtDial(table, dial).feed.feedMmPerMin
  } catch (error) {
    // A dial that the table does not know.
    if (error instanceof TablepaceError) return null
    throw error
  }
}

function feedOfRuns(store: Store, axisId: number, dial: number): number | null {
  const run = store.runs.list(axisId, { dial }).findLast(isCounting)
  return run?.feed?.feedMmPerMin ?? null
}
