import { Z95 } from '../../numbers/z95.js'
import { type ChartPoint, DRIFT_CHART, dayToDayVariance } from './drift.js'
import { ewmaChart } from './ewma.js'

/** A session since a table was made, as the chart sees it; of the logarithm of its feeds over the table's. */
export interface ChartedDay {
  readonly session: string
  /** When its first run was made, ISO 8601, UTC. */
  readonly at: string
  readonly runs: number
  readonly checkRuns: number
  readonly value: number
  readonly ownUncertainty: number
  readonly tableUncertainty: number
}

export interface DayPoint extends ChartedDay, ChartPoint {}

/**
 * A control chart of what the days since a table moved all feeds by. Days differ, so that what one may bring belongs to
 * the limits: as the sessions themselves show it, and beforehand as much as a recheck allows. An average beyond them is no
 * matter of days, but of the machine.
 *
 * @param days in the order of time
 * @param allowed standard deviation of a day's effect that a recheck allows for, relative
 */
export function dayChart(days: readonly ChartedDay[], allowed: number): DayPoint[] {
  const between = dayToDayVariance(days) || allowed ** 2
  const chart = ewmaChart(
    days.map((day) => ({
      value: day.value,
      ownUncertainty: Math.sqrt(day.ownUncertainty ** 2 + between),
      // The table was made on a day too.
      commonUncertainty: Math.sqrt(day.tableUncertainty ** 2 + between),
    })),
    DRIFT_CHART,
  )
  return days.map((day, i) => {
    const { ewma, lower, upper, beyond } = chart[i]!
    const half = Z95 * Math.hypot(day.ownUncertainty, day.tableUncertainty)
    const percent = (logRatio: number) => 100 * Math.expm1(logRatio)
    return {
      ...day,
      percent: percent(day.value),
      interval95: [percent(day.value - half), percent(day.value + half)],
      averagePercent: percent(ewma),
      limitsPercent: [percent(lower), percent(upper)],
      beyond,
    }
  })
}
