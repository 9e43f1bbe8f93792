import { CONTINUOUS_FAMILIES } from './dial-families.js'
import { type Dot, type DotPanel, dotChart } from './dot-chart.js'
import { MARKS } from './jobs.js'
import type { MotorResult } from './measured-motors.js'
import type { Findings } from './tally.js'
import { DECIDING, FIGURES, type Figure, type Row, rowOf } from './targets.js'

export interface ProofSetting {
  readonly size: 'full' | 'quick'
  readonly seed: number
  readonly tookS: number
  readonly workers: number
}

/** The rows that decide: every target as a whole, and between marks every curve family. */
export function decidingRows(findings: Findings): Row[] {
  const whole = DECIDING.map((figure) => rowOf(findings, figure))
  const between = CONTINUOUS_FAMILIES.map((family) => rowOf(findings, FIGURES.between, 'family', family))
  return [...whole, ...between].filter((row) => row !== null)
}

/** Figures by dimension, in the order they are told. */
const BREAKDOWNS: readonly (readonly [title: string, dimension: string, figures: readonly Figure[]])[] = [
  [
    'One run, by readout',
    'readout',
    [FIGURES.runCoverage, FIGURES.runError, FIGURES.runNoise, FIGURES.falseEvents, FIGURES.eventsFound],
  ],
  [
    'One run, by what is wrong with the lines',
    'faults',
    [FIGURES.runCoverage, FIGURES.runError, FIGURES.falseEvents],
  ],
  [
    'One run, by ripple of the leadscrew',
    'ripple',
    [FIGURES.runCoverage, FIGURES.runError, FIGURES.runNoise],
  ],
  ['Stalls and slips', 'event', [FIGURES.eventsFound, FIGURES.eventsKeptOut]],
  [
    'Marks, curve and inverse, by curve family',
    'family',
    [FIGURES.marks, FIGURES.next, FIGURES.markWidth, FIGURES.between, FIGURES.betweenNext, FIGURES.inverse],
  ],
  [
    'Marks, curve and inverse, by plan (both directions)',
    'plan',
    [FIGURES.marks, FIGURES.next, FIGURES.markWidth, FIGURES.between, FIGURES.inverse],
  ],
  [
    'Marks, curve and inverse, by condition',
    'condition',
    [FIGURES.marks, FIGURES.next, FIGURES.markWidth, FIGURES.between, FIGURES.inverse],
  ],
  [
    'Families the method was found with or not',
    'origin',
    [FIGURES.marks, FIGURES.next, FIGURES.between, FIGURES.inverse],
  ],
]

/** Figures that nothing decides, told as a whole. */
const TOLD: readonly Figure[] = [
  FIGURES.eventsKeptOut,
  FIGURES.missedEventError,
  FIGURES.betweenNext,
  FIGURES.inverseByDial,
  FIGURES.inverseRefused,
  FIGURES.direction,
]

/** The whole report as Markdown. */
export function proofReport(
  findings: Findings,
  motors: readonly MotorResult[],
  setting: ProofSetting,
): string {
  const told = TOLD.map((figure) => rowOf(findings, figure)).filter((row) => row !== null)
  return [
    '# What the printed numbers hold',
    '',
    `Seeded simulation (seed ${setting.seed}, ${setting.size}), ${setting.workers} workers, ${setting.tookS.toFixed(0)} s. Every figure stands with its own standard error from the size of the simulation; *within the simulation’s own error* means missed by no more than two of them. Machines are drawn anew: ranges and families in \`scripts/proof\`.`,
    '',
    '## Targets',
    '',
    decidingTable(decidingRows(findings)),
    '',
    'The noise bound takes late lines as chance; where readout and adapter beat regularly, or hand-overs are spread out again, a run can be better than it. Stalls shorter than 0.5 s and slips to more than 75 % are told below and decide nothing.',
    '',
    'Conditions that the method states it holds for decide (readout runs with the dial set anew, stopwatch runs, dials that click); the others are only told below.',
    '',
    '## Also found',
    '',
    decidingTable(told),
    '',
    ...BREAKDOWNS.flatMap(([title, dimension, figures]) => [
      `## ${title}`,
      '',
      breakdownTable(findings, dimension, figures),
      '',
    ]),
    '## Between marks: band holds the true feed, by curve family and number of marks',
    '',
    byFamilyAndMarks(findings, FIGURES.between),
    '',
    '## Inverse: dial interval holds the true dial, by curve family and number of marks',
    '',
    byFamilyAndMarks(findings, FIGURES.inverse),
    '',
    '## Measured motors',
    '',
    'Two real geared motors (`fixtures/open-data`), commands as dial marks, all other commands as test. From one session no mark is repeated: the program gives a curve and no band.',
    '',
    motorTable(motors),
    '',
    '## Charts',
    '',
    ...Object.keys(proofCharts(findings)).map((name) => `![${name}](${name})`),
    '![example-curves.svg](example-curves.svg)',
    '',
  ].join('\n')
}

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

/** A Markdown table of rows with target and verdict. */
export function decidingTable(rows: readonly Row[]): string {
  return markdownTable(
    ['figure', 'found', 'its error', 'from', 'target', 'verdict'],
    rows.map(({ figure, level, estimate, verdict }) => [
      level === 'all' ? figure.title : `${figure.title}; ${level}`,
      said(figure, estimate.value),
      `± ${said(figure, estimate.standardError)}`,
      String(estimate.count),
      figure.wanted,
      verdict === 'missed' ? '**missed**' : (verdict ?? ''),
    ]),
  )
}

function breakdownTable(findings: Findings, dimension: string, figures: readonly Figure[]): string {
  const rows = levelsOf(findings, dimension, figures).map((level) => [
    level,
    ...figures.map((figure) => toldIn(findings, figure, dimension, level)),
  ])
  const heads = figures.map((figure) => `${figure.title} (${figure.wanted})`)
  return `${markdownTable(['', ...heads], rows)}\n\nBold: off the target by more than two standard errors.`
}

function byFamilyAndMarks(findings: Findings, figure: Figure): string {
  const rows = CONTINUOUS_FAMILIES.map((family) => [
    family,
    ...MARKS.map((marks) => toldIn(findings, figure, 'family and marks', `${family}, ${marks} marks`)),
  ])
  const heads = MARKS.map((marks) => `${marks} marks (${figure.wanted})`)
  return markdownTable(['', ...heads], rows)
}

/** One cell of a breakdown, bold where the target is missed. */
function toldIn(findings: Findings, figure: Figure, dimension: string, level: string): string {
  const row = rowOf(findings, figure, dimension, level)
  if (row === null) return ''
  const told = `${said(figure, row.estimate.value)} ± ${said(figure, row.estimate.standardError)}`
  return row.verdict === 'missed' ? `**${told}**` : told
}

function motorTable(motors: readonly MotorResult[]): string {
  return markdownTable(
    [
      'marks',
      'wheel',
      'marks from session',
      'other points of',
      'within next setting',
      'median half width',
      'median distance from curve',
    ],
    motors.map((result) => [
      result.plan,
      result.wheel,
      result.sessions,
      result.tested,
      result.heldPercent === null
        ? 'no band'
        : `${result.heldPercent.value.toFixed(1)} ± ${result.heldPercent.standardError.toFixed(1)} % of ${result.heldPercent.count}`,
      result.halfWidthPercent === null ? '' : `${result.halfWidthPercent.toFixed(1)} %`,
      `${result.offPercent.toFixed(2)} %`,
    ]),
  )
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

function levelsOf(findings: Findings, dimension: string, figures: readonly Figure[]): string[] {
  const levels = new Set<string>()
  for (const key of [...Object.keys(findings.ratios), ...Object.keys(findings.values)]) {
    const [figure, of, level] = key.split('|')
    if (of === dimension && level !== undefined && figures.some(({ id }) => id === figure)) levels.add(level)
  }
  return [...levels].sort((a, b) => a.localeCompare(b, 'en', { numeric: true }))
}

function said({ unit }: Figure, value: number): string {
  if (!Number.isFinite(value)) return '?'
  return unit === '%' ? `${value.toFixed(1)} %` : unit === '' ? value.toFixed(2) : `${value.toFixed(4)} %`
}

function markdownTable(head: readonly string[], rows: readonly (readonly string[])[]): string {
  const lines = [head, head.map(() => '---'), ...rows]
  return lines.map((cells) => `| ${cells.join(' | ')} |`).join('\n')
}
