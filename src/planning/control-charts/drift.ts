import { Z95 } from '../../numbers/z95.js'
import { ewmaChart } from './ewma.js'
import { individualsLimits } from './individuals.js'

/** A recheck as the chart of an axis sees it. */
export interface CheckedFeed {
  /** ISO 8601, UTC. */
  readonly at: string
  readonly verdict: 'holds' | 'moved' | 'undecided'
  readonly reason: string
  /** Rechecks with the same text here were made against the same tables. */
  readonly tables: string
  /** Logarithm of the feed over that of the table, all marks together. */
  readonly value: number
  readonly ownUncertainty: number
  readonly tableUncertainty: number
}

/** A point of a control chart. */
export interface ChartPoint {
  /** ISO 8601, UTC. */
  readonly at: string
  /** Of the feed against the table, percent, and where it lies, 95 %. */
  readonly percent: number
  readonly interval95: readonly [number, number]
  /** Weighted average of this and earlier rechecks, percent, and its limits where nothing drifts. */
  readonly averagePercent: number
  readonly limitsPercent: readonly [number, number]
  readonly beyond: boolean
}

export interface DriftPoint extends CheckedFeed, ChartPoint {}

/** Rechecks of the same tables in the order of time; a new table begins anew at zero. */
export interface DriftSection {
  readonly tables: string
  readonly points: readonly DriftPoint[]
}

/**
 * Weight and limit of the chart: the e-Handbook's usual choices, a weight between 0.2 and 0.3 and limits at three
 * standard deviations (NIST/SEMATECH e-Handbook of Statistical Methods, 6.3.2.4).
 */
export const DRIFT_CHART = { weight: 0.3, limit: 3, target: 0 }

/**
 * Steps from recheck to recheck from which on they tell of what changes from day to day. Judgement: a standard
 * deviation of fewer is known to no better than a half.
 */
const ENOUGH_STEPS = 4

/**
 * A control chart of relative feed over the rechecks of an axis. Where the rechecks step from one to the next by more
 * than their own uncertainty, what changes from day to day widens the limits (from the moving range, so that a slow
 * drift does not hide itself).
 */
export function driftChart(rechecks: readonly CheckedFeed[]): DriftSection[] {
  const sections: { readonly tables: string; readonly checks: CheckedFeed[] }[] = []
  for (const check of rechecks) {
    const last = sections.at(-1)
    if (last?.tables === check.tables) last.checks.push(check)
    else sections.push({ tables: check.tables, checks: [check] })
  }
  return sections.map(({ tables, checks }) => ({ tables, points: chartedPoints(checks) }))
}

function chartedPoints(checks: readonly CheckedFeed[]): DriftPoint[] {
  const dayToDay = dayToDayVariance(checks)
  const own = checks.map((check) => Math.sqrt(check.ownUncertainty ** 2 + dayToDay))
  const chart = ewmaChart(
    checks.map((check, i) => ({
      value: check.value,
      ownUncertainty: own[i]!,
      commonUncertainty: check.tableUncertainty,
    })),
    DRIFT_CHART,
  )
  return checks.map((check, i) => {
    const { ewma, lower, upper, beyond } = chart[i]!
    const half = Z95 * Math.hypot(check.ownUncertainty, check.tableUncertainty)
    return {
      ...check,
      percent: percent(check.value),
      interval95: [percent(check.value - half), percent(check.value + half)],
      averagePercent: percent(ewma),
      limitsPercent: [percent(lower), percent(upper)],
      beyond,
    }
  })
}

/** What the steps from one to the next show beyond their own uncertainties; 0 where they are too few to tell. */
export function dayToDayVariance(checks: readonly Pick<CheckedFeed, 'value' | 'ownUncertainty'>[]): number {
  if (checks.length <= ENOUGH_STEPS) return 0
  const { standardDeviation } = individualsLimits(checks.map((check) => check.value))
  const own = checks.reduce((sum, check) => sum + check.ownUncertainty ** 2, 0) / checks.length
  return Math.max(0, standardDeviation ** 2 - own)
}

/** The drift that no single recheck of the newest tables told of, or null. */
export function unnoticedDrift(sections: readonly DriftSection[]): DriftPoint | null {
  const points = sections.at(-1)?.points ?? []
  const newest = points.at(-1)
  if (newest === undefined || !newest.beyond) return null
  return points.some((point) => point.verdict === 'moved') ? null : newest
}

function percent(logRatio: number): number {
  return 100 * Math.expm1(logRatio)
}
