import { type ChartedDay, type DayPoint, dayChart } from '../../planning/control-charts/index.js'
import { learnDays } from '../../regression/scatter/day-effect.js'
import { allowedDayEffect } from '../../regression/scatter/moderate-days.js'
import type { Axis, Store } from '../../store/index.js'
import { daysOf } from './days-of-table.js'

/** What the sessions since the axis' newest table moved all feeds by, in the order of time; none before the first table. */
export function daysSinceTable(store: Store, axis: Axis): DayPoint[] {
  const table = ([1, -1] as const)
    .flatMap((direction) => store.tables.inForce(axis.id, direction) ?? [])
    .sort((a, b) => a.fittedAt.localeCompare(b.fittedAt))
    .at(-1)
  if (table === undefined) return []
  const { shifts, sessions, shares } = daysOf(store, axis, table)
  const began = new Map<string, string>()
  for (const { sessionName, createdAt } of store.runs.list(axis.id)) {
    const before = began.get(sessionName)
    if (before === undefined || createdAt < before) began.set(sessionName, createdAt)
  }
  const days = shifts
    .filter(({ session }) => !shares.has(session))
    .map(({ session, logShift, ownVariance, tableErrors }): ChartedDay => {
      const { runs = 0, checkRuns = 0 } = sessions.get(session) ?? {}
      const shared = [...tableErrors.values()].reduce((sum, error) => sum + error ** 2, 0)
      return {
        ...{ session, at: began.get(session) ?? table.fittedAt, runs, checkRuns, value: logShift },
        ownUncertainty: Math.sqrt(ownVariance),
        tableUncertainty: Math.sqrt(shared),
      }
    })
    .sort((a, b) => a.at.localeCompare(b.at))
  return dayChart(days, allowedDayEffect(learnDays(shifts, shares).sizes))
}
