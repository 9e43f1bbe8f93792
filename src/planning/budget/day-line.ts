import { Z95 } from '../../numbers/z95.js'
import type { FeedAnswer } from '../lookup/lookups.js'
import type { BudgetLine, UncertaintyBudget } from './uncertainty-budget.js'

/**
 * A budget of a feed on the days of its table, with what other days add: the difference of the variances of both answers.
 * The day effect's own distribution has a heavy tail, so that half of a 95 % interval stands for 1.96 standard
 * uncertainties.
 *
 * @param measured the answer on the days of the table
 * @param anyDay the same on any day
 */
export function withDayLine(
  budget: UncertaintyBudget,
  measured: FeedAnswer,
  anyDay: FeedAnswer,
): UncertaintyBudget {
  const mean = addedPercent(meanPercent(measured), meanPercent(anyDay))
  const next = addedPercent(nextPercent(measured), nextPercent(anyDay))
  if (mean === null || next === null) return budget
  const { combinedPercent } = budget
  const combined = { mean: total(combinedPercent.mean, mean), next: total(combinedPercent.next, next) }
  const lines: BudgetLine[] = [
    ...budget.lines,
    ...(['mean', 'next'] as const).map((appliesTo) => ({
      source: 'day to day' as const,
      appliesTo,
      standardUncertaintyPercent: { mean, next }[appliesTo],
      varianceSharePercent: null,
    })),
  ]
  return {
    ...budget,
    lines: lines.map((line) => ({ ...line, varianceSharePercent: shareOf(line, combined[line.appliesTo]) })),
    combinedPercent: combined,
  }
}

function shareOf({ standardUncertaintyPercent: u }: BudgetLine, combined: number | null): number | null {
  return u === null || combined === null || combined === 0 ? null : 100 * (u / combined) ** 2
}

function total(own: number | null, added: number): number | null {
  return own === null ? null : Math.hypot(own, added)
}

function addedPercent(own: number | null, all: number | null): number | null {
  return own === null || all === null ? null : Math.sqrt(Math.max(0, all ** 2 - own ** 2))
}

function meanPercent({ feed }: FeedAnswer): number | null {
  const { feedMmPerMin, standardUncertaintyMmPerMin: u } = feed
  return u === null || !(feedMmPerMin > 0) ? null : (100 * u) / feedMmPerMin
}

function nextPercent({ feed, nextSetting95: next }: FeedAnswer): number | null {
  if (next === null || !(feed.feedMmPerMin > 0)) return null
  return (100 * (next[1] - next[0])) / (2 * Z95 * feed.feedMmPerMin)
}
