import type { Findings } from '../tally.js'
import { type Dot, type DotPanel, dotChart } from './dot-chart.js'
import { levelsOf } from './report-tables.js'
import { FIGURES, type Figure, rowOf } from './targets.js'

/** SVG pictures by file name. */
export function proofCharts(findings: Findings): Record<string, string> {
  const chart = (title: string, dimension: string, figures: readonly Figure[]) =>
    dotChart(title, panelsOf(findings, dimension, figures))
  return {
    'families.svg': chart('Coverage by curve family, %', 'family', [
      FIGURES.marks,
      FIGURES.next,
      FIGURES.between,
      FIGURES.inverse,
    ]),
    'plans.svg': chart('Coverage and width by plan', 'plan', [
      FIGURES.marks,
      FIGURES.next,
      FIGURES.between,
      FIGURES.inverse,
      FIGURES.markWidth,
    ]),
    'readouts.svg': chart('One run by readout', 'readout', [
      FIGURES.runCoverage,
      FIGURES.runError,
      FIGURES.runNoise,
    ]),
    'conditions.svg': chart('Coverage by condition, %', 'condition', [
      FIGURES.marks,
      FIGURES.next,
      FIGURES.between,
      FIGURES.inverse,
    ]),
  }
}

function panelsOf(findings: Findings, dimension: string, figures: readonly Figure[]): DotPanel[] {
  const levels = levelsOf(findings, dimension, figures)
  return figures.map((figure) => ({
    title: figure.id.replaceAll('-', ' '),
    low: figure.low,
    high: figure.high,
    decimals: figure.unit === '%' ? 0 : figure.unit === '' ? 1 : 3,
    dots: levels.flatMap((label): Dot[] => {
      const row = rowOf(findings, figure, dimension, label)
      if (row === null) return []
      const { value, standardError } = row.estimate
      return [{ label, value, standardError, missed: row.verdict === 'missed' }]
    }),
  }))
}
