import type { BudgetLine, UncertaintyBudget } from '../../planning/index.js'
import { textTable } from './text-table.js'

const MEANINGS: Readonly<Record<BudgetLine['source'], string>> = {
  reading: "the runs' own slopes",
  clock: "rate of the readout's clock",
  stopwatch: 'presses and display',
  'run-to-run': 'what changes from run to run',
  'dial reset': 'setting the dial again',
  'scatter while creeping': 'runs and dial, not told apart',
  'warm-up': 'the warming of the drive, taken out',
  curve: 'shape of the curve at and between marks',
  recheck: 'how far it moved since, by a recheck',
}

/** A budget, one source a line, both questions side by side. */
export function renderBudget(budget: UncertaintyBudget): string {
  const ofMean = budget.lines.filter((line) => line.appliesTo === 'mean')
  const rows = ofMean.map((mean) => {
    const next = budget.lines.find((line) => line.appliesTo === 'next' && line.source === mean.source)
    return [mean.source, ...cells(mean), ...cells(next), MEANINGS[mean.source]]
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
