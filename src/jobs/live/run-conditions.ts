import type { Axis, Run, Store, StoredTable } from '../../store/index.js'

/** A condition that was not the same for the table's runs and the new ones. */
export interface ConditionChange {
  /** Name of the tag, or `source` (readout or stopwatch), or `dial` (set anew or left). */
  readonly condition: string
  /** Values among the table's runs; empty where none was noted. */
  readonly table: readonly string[]
  readonly now: readonly string[]
}

/** Conditions that differ between the runs of tables and new runs; tags that only say what runs were made for do not count. */
export function conditionChanges(
  store: Store,
  axis: Axis,
  tables: readonly StoredTable[],
  runs: readonly Run[],
): ConditionChange[] {
  const fresh = new Set(runs.map((run) => run.id))
  const ofTable = new Set(tables.flatMap((table) => table.runIds))
  const earlier = store.runs.list(axis.id).filter((run) => ofTable.has(run.id) && !fresh.has(run.id))
  return differingConditions(earlier, runs).map(({ condition, left, right }) => ({
    condition,
    table: left,
    now: right,
  }))
}

/** Conditions whose values differ between two groups of runs. */
export function differingConditions(
  left: readonly Run[],
  right: readonly Run[],
): { readonly condition: string; readonly left: string[]; readonly right: string[] }[] {
  const names = new Set([...left, ...right].flatMap((run) => [...conditionsOf(run).keys()]))
  return [...names].sort().flatMap((condition) => {
    const valuesOf = (runs: readonly Run[]) =>
      [...new Set(runs.flatMap((run) => conditionsOf(run).get(condition) ?? []))].sort()
    const [a, b] = [valuesOf(left), valuesOf(right)]
    return a.join('\n') === b.join('\n') ? [] : [{ condition, left: a, right: b }]
  })
}

function conditionsOf(run: Run): Map<string, string> {
  return new Map([
    ...Object.entries(run.tags).filter(([name]) => name !== RECHECK_TAG),
    ['source', run.source],
    ['dial', run.dialReset ? 'set again' : 'not touched'],
  ])
}

/** Tag of runs made for a recheck; its value is the reason. */
export const RECHECK_TAG = 'recheck'
