import {
  type Estimate,
  type Findings,
  keyOf,
  meanOf,
  quantileOf,
  rootMeanSquareOf,
  shareOf,
} from '../tally.js'

type Verdict = 'met' | 'within the simulation’s own error' | 'missed'

/** One printed figure, what is wanted of it, and how it is read from the findings. */
export interface Figure {
  readonly id: string
  readonly title: string
  /** Percent for shares, percent of the feed for errors, a bare ratio otherwise. */
  readonly unit: '%' | '% of the feed' | ''
  readonly low: number | null
  readonly high: number | null
  /** The target as it is written. */
  readonly wanted: string
  readonly read: (findings: Findings, key: string) => Estimate | null
}

const share = ({ ratios }: Findings, key: string): Estimate | null =>
  scaled(ratios[key] && shareOf(ratios[key]), 100)
const mean = ({ ratios }: Findings, key: string): Estimate | null =>
  scaled(ratios[key] && meanOf(ratios[key]), 1)
const rootMeanSquare = ({ ratios }: Findings, key: string): Estimate | null =>
  scaled(ratios[key] && rootMeanSquareOf(ratios[key]), 1)
const quantile95 = ({ values }: Findings, key: string): Estimate | null =>
  scaled(values[key] && quantileOf(values[key], 0.95), 1)

const median = ({ values }: Findings, key: string): Estimate | null =>
  scaled(values[key] && quantileOf(values[key], 0.5), 1)

function scaled(estimate: Estimate | undefined, by: number): Estimate | null {
  if (estimate === undefined) return null
  const { value, standardError, count } = estimate
  return { value: by * value, standardError: by * standardError, count }
}

function coverage(id: string, title: string, low: number | null, high: number | null): Figure {
  const wanted =
    low === null
      ? high === null
        ? 'told only'
        : `≤ ${high} %`
      : high === null
        ? `≥ ${low} %`
        : `${low}–${high} %`
  return { id, title, unit: '%', low, high, wanted, read: share }
}

function ratio(id: string, title: string): Figure {
  return { id, title, unit: '', low: null, high: null, wanted: 'told only', read: mean }
}

/** Every figure of the proof. */
export const FIGURES = {
  runCoverage: coverage('run-coverage', 'one run: 95 % interval holds its own feed', 94, 99),
  /** Too wide is judged over all readouts: where their beat agrees with an adapter's batches lines scatter less. */
  runCoverageOfReadout: coverage('run-coverage', 'one run: 95 % interval holds its own feed', 94, null),
  runError: {
    id: 'run-error',
    title: 'one run: error, 95th percentile',
    unit: '% of the feed',
    low: null,
    high: 0.02,
    wanted: '≤ 0.02 %',
    read: quantile95,
  },
  runNoise: {
    id: 'run-noise',
    title: 'one run: standard deviation over noise bound',
    unit: '',
    low: null,
    high: 1.3,
    wanted: '≤ 1.3',
    read: rootMeanSquare,
  },
  stopwatch: coverage('stopwatch-coverage', 'one run by stopwatch: 95 % interval holds its own feed', 94, 99),
  falseEvents: coverage('false-events', 'sound runs refused', null, 1),
  eventsFound: coverage('events-found', 'stalls and slips: run refused', 95, null),
  eventsKeptOut: coverage('events-kept-out', 'stalls and slips: no accepted feed rests on them', null, null),
  missedEventError: {
    id: 'missed-event-error',
    title: 'feeds accepted beside a stall or slip: error, 95th percentile',
    unit: '% of the feed',
    low: null,
    high: null,
    wanted: 'told only',
    read: quantile95,
  },
  marks: coverage('mark-coverage', 'marks: 95 % interval holds the true feed', 94, 97),
  next: coverage('next-coverage', 'marks: next setting within its 95 % interval', 94, 97),
  leastPlan: coverage('mark-coverage', 'the least table, 4 marks × 2 runs one way: mean of a mark', 93, 98),
  leastPlanNext: coverage('next-coverage', 'the least table: next setting', 93, 98),
  markWidth: {
    id: 'mark-width',
    title: 'marks: half width over 1.96 σ/√R with σ known',
    unit: '',
    low: null,
    high: 1.1,
    wanted: '≤ 1.1',
    read: mean,
  },
  leastWidth: {
    id: 'mark-least-width',
    title: 'marks: the same for one who knows the spread of machines beforehand',
    unit: '',
    low: null,
    high: null,
    wanted: 'told only',
    read: mean,
  },
  between: coverage('between-coverage', 'between marks: band holds the true feed', 93, 99),
  betweenWidth: ratio('between-width', 'between marks: half width over 1.96 σ/√R at that place, mean'),
  betweenMedian: {
    id: 'between-median',
    title: 'between marks: the same, median of sessions',
    unit: '',
    low: null,
    high: null,
    wanted: 'told only',
    read: median,
  },
  betweenWide: coverage('between-wide', 'between marks: sessions of more than 3 times that', null, null),
  betweenNext: coverage('between-next-coverage', 'between marks: next setting within its band', null, null),
  inverse: coverage(
    'inverse-coverage',
    'inverse: dial interval holds the true dial, feeds drawn evenly',
    94,
    98,
  ),
  inverseByDial: coverage('inverse-by-dial-coverage', 'inverse: the same, dials drawn evenly', null, null),
  inverseRefused: coverage('inverse-refused', 'inverse: feeds refused at the ends of the range', null, null),
  direction: coverage(
    'direction-coverage',
    'direction difference: 95 % interval holds the true one',
    null,
    null,
  ),
  ownDayMean: coverage('own day, mean', 'own day: mean', null, null),
  ownDayNext: coverage('own day, next setting', 'own day: next setting', null, null),
  /** No upper limit: what must hold an effect of 1 % holds one of 0.5 % more often than it says. */
  anyDayMean: coverage('any day, mean', 'any day, no check run: mean', 93, null),
  anyDayNext: coverage('any day, next setting', 'any day, no check run: next setting', 93, null),
  todayMean: coverage('today after one check run, mean', 'today after one check run: mean', 93, 98),
  todayNext: coverage(
    'today after one check run, next setting',
    'today after one check run: next setting',
    93,
    98,
  ),
  todayTwiceMean: coverage('today after two check runs, mean', 'today after two check runs: mean', 93, 98),
  todayTwiceNext: coverage(
    'today after two check runs, next setting',
    'today after two check runs: next setting',
    93,
    98,
  ),
  anyDayWidth: ratio(
    'any day, half width over own day',
    'any day: half width over that of its own day, marks from a third of the fastest feed on',
  ),
  anyDaySlowWidth: ratio(
    'any day, half width over own day, slow marks',
    'any day: the same, marks below a third of the fastest feed',
  ),
  todayWidth: ratio(
    'today after one check run, half width over own day',
    'today: half width over that of its own day, marks from a third of the fastest feed on',
  ),
  todaySlowWidth: ratio(
    'today after one check run, half width over own day, slow marks',
    'today: the same, marks below a third of the fastest feed',
  ),
  sessionsMean: coverage('sessions told, mean', 'a table of two sessions: mean', 93, 98),
  sessionsNext: coverage('sessions told, next setting', 'a table of two sessions: next setting', 93, 98),
  sessionsWidth: ratio(
    'sessions told, next setting, half width',
    'a table of two sessions: half width of the next setting',
  ),
  mixedWidth: ratio('untold, next setting, half width', 'the same, the sessions not told apart'),
} as const satisfies Record<string, Figure>

/** What decides the proof as a whole; `decidingRows` adds single readouts and curve families. */
export const DECIDING: readonly Figure[] = [
  FIGURES.runCoverage,
  FIGURES.runError,
  FIGURES.runNoise,
  FIGURES.stopwatch,
  FIGURES.falseEvents,
  FIGURES.eventsFound,
  FIGURES.marks,
  FIGURES.next,
  FIGURES.markWidth,
  FIGURES.inverse,
]

/** A figure read from the findings at one level, and how it stands to its target. */
export interface Row {
  readonly figure: Figure
  readonly dimension: string
  readonly level: string
  readonly estimate: Estimate
  /** Null where nothing is wanted of the figure. */
  readonly verdict: Verdict | null
}

export function rowOf(findings: Findings, figure: Figure, dimension = 'all', level = 'all'): Row | null {
  const estimate = figure.read(findings, keyOf(figure.id, dimension, level))
  return estimate === null
    ? null
    : { figure, dimension, level, estimate, verdict: verdictOf(figure, estimate) }
}

/** Missed by no more than two standard errors of the simulation is not told from met. */
export function verdictOf(
  { low, high }: Pick<Figure, 'low' | 'high'>,
  { value, standardError }: Estimate,
): Verdict | null {
  if (low === null && high === null) return null
  const missedBy = Math.max(low === null ? 0 : low - value, high === null ? 0 : value - high)
  if (missedBy <= 0) return 'met'
  return missedBy <= 2 * standardError ? 'within the simulation’s own error' : 'missed'
}
