import { LEAST_CONDITION } from '../campaign.js'
import { LOST_DIMENSION, SIZE_BESIDE_LOST } from '../machines/day-machines.js'
import { BAND_FAMILIES } from '../machines/dial-families.js'
import { READOUT_KINDS } from '../machines/readout-kinds.js'
import { type MotorResult, motorRows, type Point } from '../measured-motors.js'
import type { Findings } from '../tally.js'
import { methodPage } from './method-page.js'
import { motorWords } from './motor-words.js'
import { proofCharts } from './report-charts.js'
import { failures, weakSpots, widthLines } from './report-failures.js'
import { breakdownTable, byFamilyAndMarks, decidingTable, motorTable } from './report-tables.js'
import { DECIDING, FIGURES, type Figure, type Row, rowOf } from './targets.js'

interface ProofSetting {
  /** Sessions of each plan and family. */
  readonly sessions: number
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
  const days = DAY_FIGURES.flatMap((figure) =>
    PROMISED_DAYS.map((size) => rowOf(findings, figure, 'day effect', size)),
  )
  const least = [FIGURES.leastPlan, FIGURES.leastPlanNext].map((figure) =>
    rowOf(findings, figure, 'condition', LEAST_CONDITION),
  )
  const between = BAND_FAMILIES.map((family) => rowOf(findings, FIGURES.between, 'family', family))
  return [...whole, ...readouts, ...least, ...between, ...days, ...motorRows(motors)].filter(
    (row) => row !== null,
  )
}

/** What is promised for other days than that of the table, and for tables of several. */
const DAY_FIGURES: readonly Figure[] = [
  FIGURES.anyDayMean,
  FIGURES.anyDayNext,
  FIGURES.todayMean,
  FIGURES.todayNext,
  FIGURES.sessionsMean,
  FIGURES.sessionsNext,
]
/** Day effects that the promise is for; larger ones are told, the prior's tail lets their shares fall slowly. */
const PROMISED_DAYS = ['0.5 %', '0.7 %', '1 %']

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
    'Other days than that of the table, by standard deviation of the day effect; 3 runs a mark',
    'day effect',
    [
      FIGURES.ownDayMean,
      FIGURES.ownDayNext,
      ...DAY_FIGURES.slice(0, 4),
      FIGURES.anyDayWidth,
      FIGURES.anyDaySlowWidth,
      FIGURES.todayWidth,
      FIGURES.todaySlowWidth,
    ],
  ],
  [
    `Other days that also lose or gain a feed alike at all settings, by its standard deviation as a share of the fastest, beside a common factor of ${SIZE_BESIDE_LOST}; 3 runs a mark; the check run at any mark, two at the middle and the slowest`,
    LOST_DIMENSION,
    [
      ...DAY_FIGURES.slice(0, 4),
      FIGURES.todayTwiceMean,
      FIGURES.todayTwiceNext,
      FIGURES.anyDayWidth,
      FIGURES.anyDaySlowWidth,
      FIGURES.todayWidth,
      FIGURES.todaySlowWidth,
    ],
  ],
  [
    'The same with one run a mark, by the scatter that is assumed',
    'day effect, one run a mark',
    [FIGURES.ownDayMean, FIGURES.ownDayNext, ...DAY_FIGURES.slice(0, 4)],
  ],
  [
    'Tables made in two sessions, by standard deviation of the day effect',
    'day effect',
    [FIGURES.sessionsMean, FIGURES.sessionsNext, FIGURES.sessionsWidth, FIGURES.mixedWidth],
  ],
  [
    'Tables made in two sessions, by what the sessions measured',
    'spread',
    [FIGURES.sessionsMean, FIGURES.sessionsNext, FIGURES.sessionsWidth, FIGURES.mixedWidth],
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
  motorPoints: readonly Point[],
  setting: ProofSetting,
): string {
  const told = TOLD.map((figure) => rowOf(findings, figure)).filter((row) => row !== null)
  return [
    '# What the printed numbers hold',
    '',
    ...methodPage(motorPoints),
    '## How it was found out',
    '',
    `Seeded simulation (seed ${setting.seed}, ${setting.sessions} sessions of each plan and family), ${setting.workers} workers, ${setting.tookS.toFixed(0)} s. Every figure stands with its own standard error from the size of the simulation; *within the simulation’s own error* means missed by no more than two of them. Machines are drawn anew for each session, on families of dial curves that the method was found with and others; the measured motors are real.`,
    '',
    '## Targets',
    '',
    decidingTable(decidingRows(findings, motors)),
    '',
    'The noise bound takes late lines as chance; where readout and adapter beat regularly, or hand-overs are spread out again, a run can be better than it. Stalls shorter than 0.5 s and slips to more than 75 % are told below and decide nothing.',
    '',
    ...widthLines(findings),
    '## What failed',
    '',
    ...failures(decidingRows(findings, motors)),
    '',
    ...weakSpots(findings),
    '',
    'What no number of the program can hold: a change between two marks that agree with a smooth curve; a day unlike any that was measured on, until a check run is made; a machine that is changed after its table was made, until a recheck.',
    '',
    '## Notes on the targets',
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
    ...motorWords(motorPoints),
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
