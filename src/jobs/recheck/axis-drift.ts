import { type CheckedFeed, type DriftSection, driftChart } from '../../planning/control-charts/index.js'
import type { Axis, Recheck, Store } from '../../store/index.js'
import type { Direction } from '../../traverse/index.js'
import { lastLooks, recordIn } from './recheck-record.js'

/** The table of a direction that answers, and how long it was trusted. */
export interface TableInForce {
  readonly direction: Direction
  readonly version: number
  readonly fittedAt: string
  readonly ageDays: number
  readonly lastRecheck: {
    readonly at: string
    readonly ageDays: number
    readonly verdict: Recheck['verdict']
    readonly withinPercent: number
  } | null
}

/** Milliseconds of a day (by definition). */
const MS_A_DAY = 86_400_000

/** Tables in force and their age in days, with the newest recheck of each. */
export function tablesInForce(store: Store, axis: Axis, nowIso: string): TableInForce[] {
  const rechecks = store.history.rechecks(axis.id)
  const ageDays = (iso: string) => Math.max(0, (Date.parse(nowIso) - Date.parse(iso)) / MS_A_DAY)
  return ([1, -1] as const).flatMap((direction) => {
    const table = store.tables.inForce(axis.id, direction)
    if (table === null) return []
    const { version, fittedAt } = table
    const last = rechecks.findLast((recheck) =>
      recheck.tables.some((one) => one.direction === direction && one.version === version),
    )
    const lastRecheck =
      last === undefined
        ? null
        : {
            at: last.at,
            ageDays: ageDays(last.at),
            verdict: last.verdict,
            withinPercent: last.withinPercent,
          }
    return [{ direction, version, fittedAt, ageDays: ageDays(fittedAt), lastRecheck }]
  })
}

/** The control chart of an axis' rechecks. Of looks at one question only the last counts: it holds the others' runs. */
export function driftOf(store: Store, axis: Axis): DriftSection[] {
  return driftChart(
    lastLooks(store.history.rechecks(axis.id)).flatMap((recheck): CheckedFeed[] => {
      const { at, verdict, reason, tables } = recheck
      const record = recordIn(recheck)
      return record === null ? [] : [{ at, verdict, reason, tables: tablesText(tables), ...record.scale }]
    }),
  )
}

/** Versions alone: the two directions of one fit bear the same, and a recheck may look at either. */
function tablesText(tables: Recheck['tables']): string {
  const versions = [...new Set(tables.map((table) => table.version))].sort((a, b) => a - b)
  return `table ${versions.join(' and ')}`
}
