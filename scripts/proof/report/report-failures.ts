import type { Findings } from '../tally.js'
import { breakdownTable, decidingTable, markdownTable, said } from './report-tables.js'
import { FIGURES, type Figure, type Row, rowOf } from './targets.js'

/** Figures that say how wide the intervals are. */
const WIDTHS: readonly Figure[] = [
  FIGURES.markWidth,
  FIGURES.leastWidth,
  FIGURES.betweenWidth,
  FIGURES.betweenMedian,
  FIGURES.betweenWide,
]

/** How wide the intervals are beside those of one who knows what the program must learn, as a whole and by marks. */
export function widthLines(findings: Findings): string[] {
  const rows = WIDTHS.map((figure) => rowOf(findings, figure)).filter((row) => row !== null)
  return [
    '## How wide the intervals are',
    '',
    'σ is the true scatter of a run at the place, R the runs at a mark: 1.96 σ/√R is the half width of one who knows the scatter and made R runs at that very place. *One who knows the spread of machines beforehand* is given the very spread these machines are drawn from, and still cannot do with 1.0; where that figure is above 1.1 by itself, as with 4 marks of 2 runs, no honest program that learns from the runs alone comes down to 1.1.',
    '',
    decidingTable(rows),
    '',
    breakdownTable(findings, 'number of marks', [
      FIGURES.marks,
      FIGURES.markWidth,
      FIGURES.between,
      FIGURES.betweenMedian,
      FIGURES.betweenWide,
      FIGURES.inverse,
    ]),
    '',
    'Between four to six marks a dial that is straight there is held more often than wanted, even if nothing were allowed for the unseen (99.7 % at four). A dial that wavers looks the same from so few marks, so one band must do for both: it cannot hold the one in 93 % of the places and the other in no more than 98 %. It is made for the one that wavers. Figures by allowance, for machines of either kind: `src/regression/curve/bulge-between-marks.ts`; more: `npm run proof:curve -- --unseen 0,0.03,0.06`.',
    '',
  ]
}

/** Every target that was missed, a sentence each. */
export function failures(rows: readonly Row[]): string[] {
  const missed = rows.filter(({ verdict }) => verdict === 'missed')
  return missed.length === 0
    ? [`Nothing: all ${rows.length} targets are met, or missed by no more than the simulation’s own error.`]
    : [
        `${missed.length} of ${rows.length} targets are missed by more than two standard errors:`,
        '',
        ...missed.map((row) => `- ${sentence(row)}`),
      ]
}

function sentence({ figure, level, estimate }: Row): string {
  const where = level === 'all' ? '' : ` (${level})`
  const found = `${said(figure, estimate.value)} ± ${said(figure, estimate.standardError)}, wanted ${figure.wanted}`
  const tooMuch = figure.high !== null && estimate.value > figure.high
  const isShare = figure.low !== null
  const meaning = isShare
    ? tooMuch
      ? 'These intervals are wider than they need be: they hold what they say, and cost runs.'
      : 'These intervals hold less often than they say.'
    : tooMuch
      ? 'This is more than wanted.'
      : 'This is less than wanted.'
  return `${figure.title}${where}: ${found}. ${meaning}`
}

/** Coverages that parts of the simulation are looked through for. */
const LOOKED_THROUGH: readonly Figure[] = Object.values(FIGURES).filter(
  (figure: Figure) => figure.low !== null && figure !== FIGURES.leastPlan && figure !== FIGURES.leastPlanNext,
)

/**
 * Standard errors by which a part must miss its target to be told. Derived: of several hundred parts one would miss it by
 * chance (0.13 % of a normal distribution lie beyond three).
 */
const CLEARLY = 3

/** Families, plans and conditions whose intervals hold less often than they say, farthest first. */
export function weakSpots(findings: Findings): string[] {
  const spots = LOOKED_THROUGH.flatMap((figure) =>
    Object.keys(findings.ratios).flatMap((key) => {
      const [id, dimension, level] = key.split('|')
      if (id !== figure.id || dimension === undefined || level === undefined || dimension === 'all') return []
      const row = rowOf(findings, figure, dimension, level)
      if (row === null) return []
      const short = figure.low! - row.estimate.value
      return short > CLEARLY * row.estimate.standardError ? [{ row, short }] : []
    }),
  )
  if (spots.length === 0) return []
  spots.sort((a, b) => b.short - a.short)
  return [
    `Parts of the simulation where an interval holds less often than wanted by more than ${CLEARLY} standard errors, though the whole may meet its target:`,
    '',
    markdownTable(
      ['where', 'what', 'found', 'its error', 'wanted'],
      spots.map(({ row: { figure, dimension, level, estimate } }) => [
        `${dimension}: ${level}`,
        figure.title,
        said(figure, estimate.value),
        `± ${said(figure, estimate.standardError)}`,
        figure.wanted,
      ]),
    ),
  ]
}
