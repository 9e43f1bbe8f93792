import {
  type FeedEstimate,
  type FitOptions,
  type FittedDirection,
  marksOutOfOrder,
  type RunEvidence,
  showsShape,
} from '../../regression/index.js'
import { budgetCurve, total } from './uncertainty-budget-curve.js'
import {
  addVariances,
  type BudgetMarks,
  budgetMarks,
  NO_VARIANCE,
  type SourceVariances,
} from './uncertainty-budget-marks.js'

/** Where a part of the uncertainty comes from. */
type BudgetSource =
  | 'reading'
  | 'clock'
  | 'stopwatch'
  | 'run-to-run'
  | 'dial reset'
  | 'scatter while creeping'
  | 'warm-up'
  | 'sessions and travels'
  | 'curve'
  | 'recheck'
  | 'day to day'

/** One line of a budget. */
export interface BudgetLine {
  readonly source: BudgetSource
  /** `mean`: the mean feed of this setting. `next`: the feed the next time the dial is set. */
  readonly appliesTo: 'mean' | 'next'
  /** Of the feed; null where it is not known. */
  readonly standardUncertaintyPercent: number | null
  /** Share of the combined variance of the same question; null where it is not known. */
  readonly varianceSharePercent: number | null
}

/** The uncertainty of one feed, taken apart. */
export interface UncertaintyBudget {
  readonly lines: readonly BudgetLine[]
  /** Root sum of squares of the lines, percent of the feed; `mean` is the table's own standard uncertainty. */
  readonly combinedPercent: { readonly mean: number | null; readonly next: number | null }
  /** Relative change of the feed for a relative change of each run's feed: what each run counts for. */
  readonly runWeights: ReadonlyMap<string, number>
}

interface BudgetInput {
  /** The direction of the fit that gives the feed. */
  readonly fitted: Pick<FittedDirection, 'direction' | 'curve' | 'warnings'>
  readonly dial: number
  /** What the table answers at that dial. */
  readonly feed: FeedEstimate
  /** Evidence of both directions, as it was fitted. */
  readonly runs: readonly RunEvidence[]
  /** Part of a run's own standard uncertainty that its device clock adds, mm/min, by run id. */
  readonly clockMmPerMin: ReadonlyMap<string, number>
  readonly options: FitOptions
}

const SOURCES = [
  ['reading', 'reading'],
  ['clock', 'clock'],
  ['stopwatch', 'stopwatch'],
  ['run-to-run', 'runToRun'],
  ['dial reset', 'dialReset'],
  ['scatter while creeping', 'creep'],
  ['warm-up', 'warmUp'],
  ['sessions and travels', 'shared'],
] as const satisfies readonly (readonly [BudgetSource, keyof SourceVariances])[]

/**
 * Uncertainty budget of one feed of a table (JCGM 100:2008, 5.1 and annex H): what each source adds to the mean feed
 * of this setting and to the feed of the next setting, as standard uncertainty and as share of the variance.
 *
 * With a curve the shares are those of curves drawn again as the fit drew them; the lines of `mean` are set so that
 * their root sum of squares is the standard uncertainty the table holds. A source that no run has is left out; where
 * no mark was repeated every line is null, because the scatter is not known.
 *
 * @example
 * uncertaintyBudget({ fitted, dial: 3.5, feed, runs, clockMmPerMin: new Map(), options: { stepped: false } })
 */
export function uncertaintyBudget(input: BudgetInput): UncertaintyBudget {
  const { fitted, feed, runs } = input
  const marks = budgetMarks(runs, fitted.direction, input.clockMmPerMin, input.options)
  const parts = marks === null || feed.standardUncertaintyMmPerMin === null ? null : splitFeed(input, marks)
  const shown = shownSources(input, parts)
  const lines = (['mean', 'next'] as const).flatMap((appliesTo) =>
    shown.map((source) => line(source, appliesTo, parts, feed.feedMmPerMin)),
  )
  const combined = (of: 'mean' | 'next') =>
    parts === null ? null : percent(total(parts[of]) + parts.curve, feed.feedMmPerMin)
  return {
    lines,
    combinedPercent: { mean: combined('mean'), next: combined('next') },
    runWeights: parts?.runWeights ?? new Map(),
  }
}

interface FeedParts {
  readonly mean: SourceVariances
  readonly next: SourceVariances
  readonly curve: number
  readonly runWeights: ReadonlyMap<string, number>
}

function splitFeed({ fitted, dial, feed }: BudgetInput, budget: BudgetMarks): FeedParts | null {
  const mark = budget.marks.find((one) => one.mark.dial === dial)
  const outOfOrder = marksOutOfOrder(
    budget.marks.map((one) => one.mark),
    budget.trend,
  )
  if (fitted.curve.length === 0 || outOfOrder.some((i) => budget.marks[i] === mark)) {
    if (mark === undefined) return null
    const mean = { ...mark.mean, ...mark.alone }
    return {
      mean,
      next: addVariances(mean, mark.again),
      curve: 0,
      runWeights: mark.runWeights,
    }
  }
  const showsCurve = showsShape(
    budget.marks.map((one) => one.mark),
    budget.posterior,
  )
  const drawn = budgetCurve(budget, dial, !showsCurve)
  const variance = total(drawn.mean) + drawn.curve
  // Other draws of the same curves differ by a few percent; what the table holds is what is taken apart.
  const scale = variance > 0 ? (feed.standardUncertaintyMmPerMin ?? 0) ** 2 / variance : 0
  const mean = addVariances(NO_VARIANCE, drawn.mean, scale)
  return {
    mean,
    next: addVariances(mean, drawn.again),
    curve: drawn.curve * scale,
    runWeights: weightsOfRuns(budget, drawn.markWeights, feed.feedMmPerMin),
  }
}

function weightsOfRuns(
  { marks }: BudgetMarks,
  markWeights: readonly number[],
  feedMmPerMin: number,
): ReadonlyMap<string, number> {
  return new Map(
    marks.flatMap(({ mark, runWeights }, j) =>
      [...runWeights].map(([runId, weight]): [string, number] => [
        runId,
        feedMmPerMin > 0 ? (weight * markWeights[j]! * mark.feedMmPerMin) / feedMmPerMin : 0,
      ]),
    ),
  )
}

function shownSources({ fitted, runs, clockMmPerMin }: BudgetInput, parts: FeedParts | null): BudgetSource[] {
  const own = runs.filter((run) => run.direction === fitted.direction)
  const there: Readonly<Record<BudgetSource, boolean>> = {
    reading: own.some((run) => run.source === 'readout'),
    clock: own.some((run) => clockMmPerMin.has(run.runId)),
    stopwatch: own.some((run) => run.source === 'stopwatch'),
    'run-to-run': true,
    'dial reset': true,
    'scatter while creeping': (parts?.next.creep ?? 0) > 0,
    'warm-up': (parts?.next.warmUp ?? 0) > 0,
    'sessions and travels': (parts?.next.shared ?? 0) > 0,
    curve: fitted.curve.length > 0,
    // Of a table that was carried over alone, which is no fit.
    recheck: false,
    'day to day': false,
  }
  return (Object.keys(there) as BudgetSource[]).filter((source) => there[source])
}

function line(
  source: BudgetSource,
  appliesTo: 'mean' | 'next',
  parts: FeedParts | null,
  feedMmPerMin: number,
): BudgetLine {
  if (parts === null) {
    return { source, appliesTo, standardUncertaintyPercent: null, varianceSharePercent: null }
  }
  const key = SOURCES.find(([name]) => name === source)?.[1]
  const variance = key === undefined ? parts.curve : parts[appliesTo][key]
  const combined = total(parts[appliesTo]) + parts.curve
  return {
    source,
    appliesTo,
    standardUncertaintyPercent: percent(variance, feedMmPerMin),
    varianceSharePercent: combined > 0 ? (100 * variance) / combined : null,
  }
}

function percent(variance: number, feedMmPerMin: number): number | null {
  return feedMmPerMin > 0 ? (100 * Math.sqrt(variance)) / feedMmPerMin : null
}
