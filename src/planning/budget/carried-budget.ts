import type { BudgetLine, UncertaintyBudget } from './uncertainty-budget.js'

/**
 * The budget of a feed that was carried over from an earlier table by a change that a recheck showed: the lines of the
 * earlier table, and one for the change itself (JCGM 100:2008, 5.1.2; that the change was found with the help of the
 * same earlier runs is not counted on).
 *
 * @param changePercent standard uncertainty of the change at this dial, percent of the feed
 * @example carriedBudget(earlier, 0.4).combinedPercent.mean // √(earlier² + 0.4²)
 */
export function carriedBudget(earlier: UncertaintyBudget, changePercent: number): UncertaintyBudget {
  const combine = (percent: number | null) => (percent === null ? null : Math.hypot(percent, changePercent))
  const combinedPercent = {
    mean: combine(earlier.combinedPercent.mean),
    next: combine(earlier.combinedPercent.next),
  }
  const lines = (['mean', 'next'] as const).flatMap((appliesTo): BudgetLine[] => {
    const combined = combinedPercent[appliesTo]
    const before = earlier.lines.filter((line) => line.appliesTo === appliesTo)
    const change = { source: 'recheck' as const, appliesTo, standardUncertaintyPercent: changePercent }
    return [...before, change].map((line) => {
      const percent = line.standardUncertaintyPercent
      return {
        ...line,
        varianceSharePercent:
          percent === null || combined === null || combined === 0 ? null : 100 * (percent / combined) ** 2,
      }
    })
  })
  return { lines, combinedPercent, runWeights: earlier.runWeights }
}
