import { CONTINUOUS_FAMILIES } from './dial-families.js'
import { type Dot, type DotPanel, dotChart } from './dot-chart.js'
import { type MotorResult, motorRows } from './measured-motors.js'
import { READOUT_KINDS } from './readout-kinds.js'
import { breakdownTable, byFamilyAndMarks, decidingTable, levelsOf, motorTable } from './report-tables.js'
import type { Findings } from './tally.js'
import { DECIDING, FIGURES, type Figure, type Row, rowOf } from './targets.js'

export interface ProofSetting {
  readonly size: 'full' | 'quick'
  readonly seed: number
  readonly tookS: number
  readonly workers: number
}

/**
 * The rows that decide: every target as a whole, the least coverage of one run for each readout, and between marks every
 * curve family, and the measured motors. What fails for one readout alone would drown in the whole.
 */
export function decidingRows(findings: Findings, motors: readonly MotorResult[]): Row[] {
  const whole = DECIDING.map((figure) => rowOf(findings, figure))
  const readouts = READOUT_KINDS.map(({ name }) =>
    rowOf(findings, FIGURES.runCoverageOfReadout, 'readout', name),
  )
  const between = CONTINUOUS_FAMILIES.map((family) => rowOf(findings, FIGURES.between, 'family', family))
  return [...whole, ...readouts, ...between, ...motorRows(motors)].filter((row) => row !== null)
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
    [FIGURES.marks, FIGURES.next, FIGURES.markWidth, FIGURES.leastWidth, FIGURES.between, FIGURES.inverse],
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
  FIGURES.leastWidth,
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
    decidingTable(decidingRows(findings, motors)),
    '',
    'The noise bound takes late lines as chance; where readout and adapter beat regularly, or hand-overs are spread out again, a run can be better than it. Stalls shorter than 0.5 s and slips to more than 75 % are told below and decide nothing.',
    '',
    'How wide the intervals at marks must be is a matter of how many repeats tell the scatter: *one who knows the spread of machines beforehand* is given the very spread these machines are drawn from, and still cannot do with 1.0. Where that figure is above 1.1 by itself, as with 4 marks of 2 runs, no honest program that learns from the runs alone comes down to 1.1.',
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
    'The last family, which decides nothing, wavers up to five times along the dial: what lies between two marks that agree with a smooth curve is not known, and the band of few marks is kept wider than their fit would have it, but it cannot hold everything.',
    '',
    '## Inverse: dial interval holds the true dial, by curve family and number of marks',
    '',
    byFamilyAndMarks(findings, FIGURES.inverse),
    '',
    '## Measured motors',
    '',
    'Two real geared motors (`fixtures/open-data`), commands as dial marks, all other commands as test. From one session no mark is repeated: the program gives a curve and no band. Two sessions that differ by d show a scatter of σ = d/√2, and the next setting after two runs lies within 1.96·√(3/2)·σ = 1.7 d. The right motor’s sessions differ all one way, so that the points of both lie within half of d of the curve; a third session may not, and a band that held just 95 % of these points would say more than two sessions can tell.',
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
