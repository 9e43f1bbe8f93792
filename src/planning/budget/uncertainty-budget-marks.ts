import {
  axisScatter,
  type FitOptions,
  type FittedMark,
  type FittedSide,
  fitMark,
  foundTrend,
  type MarkGroup,
  type NoisePosterior,
  type RunEvidence,
  type SharingSides,
  type ShiftVariances,
  sharingSides,
  type TrendFound,
} from '../../regression/index.js'
import type { Direction } from '../../traverse/index.js'

/** Variances by where they come from, (mm/min)². */
export interface SourceVariances {
  /** The runs' own slopes: readout steps, arrival jitter of the host's clock, ripple. */
  readonly reading: number
  /** Rate of the readout's own clock, in runs that were timed by it. */
  readonly clock: number
  /** Presses and display of the stopwatch, in runs timed by hand. */
  readonly stopwatch: number
  readonly runToRun: number
  readonly dialReset: number
  /** Scatter of a mark where the table only creeps: run-to-run and dial cannot be told apart there. */
  readonly creep: number
  /** What taking out the warming of the drive leaves open. */
  readonly warmUp: number
  /** What taking out what the runs of a session or of a travel have in common leaves open. */
  readonly shared: number
}

/** A budget without any part, to which parts are added (by definition). */
export const NO_VARIANCE: SourceVariances = {
  reading: 0,
  clock: 0,
  stopwatch: 0,
  runToRun: 0,
  dialReset: 0,
  creep: 0,
  warmUp: 0,
  shared: 0,
}

/** Where the uncertainty of one mark's mean feed comes from. */
interface MarkBudget {
  readonly mark: FittedMark
  /** Without an error of level that all marks share. */
  readonly mean: SourceVariances
  /** What of those parts is open in the mark by itself that otherwise move all marks: level and all, (mm/min)². */
  readonly alone: Pick<SourceVariances, 'warmUp' | 'shared'>
  /** What one more run with the dial set anew scatters by. */
  readonly again: SourceVariances
  /** Relative change of the mark's feed for a relative change of each run's: sensitivity coefficients. */
  readonly runWeights: ReadonlyMap<string, number>
}

export interface BudgetMarks {
  readonly side: FittedSide
  readonly marks: readonly MarkBudget[]
  /** Which way feeds go along the dial. */
  readonly trend: TrendFound
  /** Both directions where they share a shape. */
  readonly sharing: SharingSides | null
  readonly posterior: NoisePosterior
  /** Relative variances of factors that all of a curve is uncertain by. */
  readonly level: Pick<SourceVariances, 'warmUp' | 'shared'>
}

/**
 * Splits the variance of every mark's mean feed as `fitMark` makes it.
 *
 * The log feed of a mark answers to each run by its weight in the mean (JCGM 100:2008, 5.1.3); variances then add up by
 * 5.1.2: Σc²·s_run² + Σ(Σc in a setting)²·g²·s_dial² + Σc²·u².
 *
 * @param runs evidence of both directions, as it was fitted
 * @param clockMmPerMin part of a run's own standard uncertainty that its device clock adds, by run id
 * @returns null where nothing was measured in that direction
 */
export function budgetMarks(
  runs: readonly RunEvidence[],
  direction: Direction,
  clockMmPerMin: ReadonlyMap<string, number>,
  options: FitOptions,
): BudgetMarks | null {
  const scatter = axisScatter(runs, options)
  const { sides, trend: likely, posterior, takenOut } = scatter
  const side = sides.find((one) => one.direction === direction)
  if (side === undefined) return null
  const fitted = sides.map((one) => ({
    ...one,
    marks: one.groups.map((group) => fitMark(group, posterior, scatter.variancesOf(group))),
  }))
  const own = fitted.find((one) => one.direction === direction)!
  const marks = side.groups.map((group, i) => {
    const ofMark = side.runs.filter((run) => run.dial === group.dial)
    const mark = own.marks[i]!
    if (group.creeps) return creepingBudget(mark, ofMark, posterior)
    const budget = movingBudget(group, mark, ofMark, posterior, clockMmPerMin)
    return withTakenOut(budget, scatter.variancesOf(group), takenOut?.variancesOf(group) ?? NOTHING)
  })
  const trend = foundTrend(
    fitted.map((one) => one.marks),
    likely,
  )
  return {
    side: own,
    marks,
    trend,
    sharing: sharingSides(fitted, trend, posterior),
    posterior,
    level: {
      warmUp: takenOut?.levelVariance ?? 0,
      shared: scatter.levelVarianceOf(direction) - (takenOut?.levelVariance ?? 0),
    },
  }
}

const NOTHING: ShiftVariances = { whole: 0, beside: 0 }

/** The same with what was taken out of the runs leaves open: all of it, and the warming of the drive in it. */
function withTakenOut(budget: MarkBudget, all: ShiftVariances, warming: ShiftVariances): MarkBudget {
  const square = budget.mark.feedMmPerMin ** 2
  const parts = (of: (one: ShiftVariances) => number) => ({
    warmUp: square * of(warming),
    shared: square * (of(all) - of(warming)),
  })
  return {
    ...budget,
    mean: { ...budget.mean, ...parts((one) => one.beside) },
    alone: parts((one) => one.whole),
    again: { ...budget.again, ...parts((one) => one.ahead ?? 0) },
  }
}

function movingBudget(
  group: MarkGroup,
  mark: FittedMark,
  runs: readonly RunEvidence[],
  posterior: NoisePosterior,
  clockMmPerMin: ReadonlyMap<string, number>,
): MarkBudget {
  const weights = mark.runWeights
  const slope = group.slopeMmPerMin / group.meanFeedMmPerMin
  const runVariance = expected(posterior, (point) => point.runRelative ** 2)
  const dialVariance = slope ** 2 * expected(posterior, (point) => point.dialReset ** 2)
  const square = mark.feedMmPerMin ** 2
  const own = { reading: 0, clock: 0, stopwatch: 0 }
  for (const [k, run] of runs.entries()) {
    const scale = square * (weights[k]! / run.feedMmPerMin) ** 2
    const variance = run.standardUncertaintyMmPerMin ** 2
    if (run.source === 'stopwatch') {
      own.stopwatch += scale * variance
    } else {
      const clock = Math.min(variance, (clockMmPerMin.get(run.runId) ?? 0) ** 2)
      own.clock += scale * clock
      own.reading += scale * (variance - clock)
    }
  }
  const sumOfSquares = (values: readonly number[]) => values.reduce((sum, value) => sum + value ** 2, 0)
  const settings = group.settings.map((setting) => setting.reduce((sum, k) => sum + weights[k]!, 0))
  return {
    mark,
    mean: {
      ...own,
      runToRun: square * runVariance * sumOfSquares(weights),
      dialReset: square * dialVariance * sumOfSquares(settings),
      creep: 0,
      warmUp: 0,
      shared: 0,
    },
    alone: { warmUp: 0, shared: 0 },
    again: { ...NO_VARIANCE, runToRun: square * runVariance, dialReset: square * dialVariance },
    runWeights: new Map(runs.map((run, k) => [run.runId, weights[k]!])),
  }
}

function creepingBudget(
  mark: FittedMark,
  runs: readonly RunEvidence[],
  posterior: NoisePosterior,
): MarkBudget {
  const creep = expectedMeanVariance(mark, posterior)
  return {
    mark,
    mean: { ...NO_VARIANCE, creep },
    alone: { warmUp: 0, shared: 0 },
    again: { ...NO_VARIANCE, creep: creep * runs.length },
    runWeights: new Map(runs.map((run) => [run.runId, 1 / runs.length])),
  }
}

/** Variance of a mark's mean feed, (mm/min)², over the noise posterior. */
export function expectedMeanVariance(mark: FittedMark, posterior: NoisePosterior): number {
  return posterior.points.reduce((sum, { weight }, q) => sum + weight * mark.meanVariances[q]!, 0)
}

function expected(
  posterior: NoisePosterior,
  value: (point: NoisePosterior['points'][number]) => number,
): number {
  return posterior.points.reduce((sum, point) => sum + point.weight * value(point), 0)
}

/** Sum of both, source by source; the second one `factor` times. */
export function addVariances(a: SourceVariances, b: SourceVariances, factor = 1): SourceVariances {
  return {
    reading: a.reading + factor * b.reading,
    clock: a.clock + factor * b.clock,
    stopwatch: a.stopwatch + factor * b.stopwatch,
    runToRun: a.runToRun + factor * b.runToRun,
    dialReset: a.dialReset + factor * b.dialReset,
    creep: a.creep + factor * b.creep,
    warmUp: a.warmUp + factor * b.warmUp,
    shared: a.shared + factor * b.shared,
  }
}
