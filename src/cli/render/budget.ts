import type { BudgetLine, UncertaintyBudget } from '../../planning/index.js'
import { BUDGET_MEANINGS } from '../../words/budget-sources.js'
import { textTable } from './text-table.js'

/** A budget, one source a line, both questions side by side. */
export function renderBudget(budget: UncertaintyBudget): string {
  const ofMean = budget.lines.filter((line) => line.appliesTo === 'mean')
  const rows = ofMean.map((mean) => {
    const next = budget.lines.find((line) => line.appliesTo === 'next' && line.source === mean.source)
    return [mean.source, ...cells(mean), ...cells(next), BUDGET_MEANINGS[mean.source]]
  })
  const { combinedPercent } = budget
  return textTable(
    [
      { title: 'source', align: 'left' },
      { title: 'mean, u', align: 'right' },
      { title: 'share', align: 'right' },
      { title: 'next, u', align: 'right' },
      { title: 'share', align: 'right' },
      { title: '', align: 'left' },
    ],
    [
      ...rows,
      [
        'combined',
        percent(combinedPercent.mean),
        share(combinedPercent.mean === null ? null : 100),
        percent(combinedPercent.next),
        share(combinedPercent.next === null ? null : 100),
        'root of the sum of squares',
      ],
    ],
  )
}

function cells(line: BudgetLine | undefined): [string, string] {
  return [percent(line?.standardUncertaintyPercent ?? null), share(line?.varianceSharePercent ?? null)]
}

/** Three decimals, so that the lines can be added up by hand. */
function percent(value: number | null): string {
  return value === null ? '–' : `${value.toFixed(3)} %`
}

function share(value: number | null): string {
  return value === null ? '–' : `${value.toFixed(1)} %`
}
