import {
  type MixturePart,
  mixtureHalfWidth,
  mixtureStandardDeviation,
  seededNormal,
  seededUniform,
  weightedIndex,
} from '../../numbers/index.js'
import type { NoisePosterior } from '../../regression/index.js'
import { beyondLevels, levelOf, MOST_LOOKS, toleranceLimits } from './decision.js'
import { errorVariance, type LogFeedErrors } from './mean-errors.js'

/** New runs to make at one setting of the dial, in each direction that is checked there. */
export interface NextRuns {
  readonly dial: number
  readonly runs: number
}

/** What to do after a recheck that did not decide. */
export interface NextPlan {
  readonly runs: readonly NextRuns[]
  /** Probability that these runs decide, from what is known now. */
  readonly decides: number
  /** Whether that is probable enough to be worth the runs. */
  readonly worthwhile: boolean
  /** The smallest tolerance that any number of new runs could show to hold, percent, and where it is set by. */
  readonly finest: { readonly withinPercent: number; readonly dial: number }
}

/** A mark as the plan for more runs sees it. */
export interface PlannedMark {
  readonly dial: number
  /** Of the dial curve, per dial unit. */
  readonly relativeSlope: number
  /** Logarithm of now over then so far; 0 where there is no new run yet. */
  readonly difference: number
  readonly thenErrors: LogFeedErrors
  /** Errors of the mean of the new runs; of one run where there is none yet. */
  readonly nowErrors: LogFeedErrors
  /** New runs so far. */
  readonly runs: number
}

/**
 * Probability from which on runs are said to decide. Judgement: one plan in seven needs another go; a higher one
 * asks for runs that are seldom needed.
 */
const PROBABLE = 0.85
/**
 * New runs at each dial to begin with. Judgement: one alone tells nothing of scatter; more than three are seldom
 * needed.
 */
const FIRST_RUNS = { least: 2, most: 3 }
/** More runs at one dial in one go are not asked for. Judgement: seven minutes at three marks. */
const MOST_RUNS_A_DIAL = 4
/**
 * Gain of probability for a run below which it is not worth its while. Judgement: three in a hundred for half a
 * minute's work.
 */
const WORTHWHILE = 0.03
/**
 * Probability of deciding below which no runs are worth their while. Judgement: four goes in five would be for
 * nothing.
 */
const HOPELESS = 0.2
/** Draws for a probability of deciding. Derived: its standard error is √(0.85·0.15/300), 2 %. */
const DRAWS = 300

/**
 * The fewest new runs that probably decide, added one by one at the dial whose difference is least well known. Whether
 * they will is drawn: more runs move each difference by what scatter allows, and the decision is made again.
 */
export function planNext(
  marks: readonly PlannedMark[],
  posterior: NoisePosterior,
  withinPercent: number,
  look: number,
  seed: number,
): NextPlan {
  const dials = [...new Set(marks.map((mark) => mark.dial))]
  const level = levelOf(look + 1)
  const finest = finestTolerance(marks, posterior, level)
  if (look >= MOST_LOOKS) return { runs: [], decides: 0, worthwhile: false, finest }
  const [least, most] = look === 0 ? [FIRST_RUNS.least, FIRST_RUNS.most] : [0, MOST_RUNS_A_DIAL]
  const extra = new Map(dials.map((dial) => [dial, least]))
  const plans: { readonly runs: NextRuns[]; readonly decides: number }[] = []
  for (;;) {
    if ([...extra.values()].some((runs) => runs > 0)) {
      const runs = dials.map((dial) => ({ dial, runs: extra.get(dial)! })).filter((one) => one.runs > 0)
      const decides = probabilityOfDeciding(marks, extra, posterior, withinPercent, level, seed)
      plans.push({ runs, decides })
      if (decides >= PROBABLE) break
    }
    const open = marks
      .filter((mark) => extra.get(mark.dial)! < most)
      .map((mark) => ({
        dial: mark.dial,
        half: halfWidth(mark, extra.get(mark.dial)!, posterior, level),
      }))
      .sort((a, b) => b.half - a.half)[0]
    if (open === undefined) break
    extra.set(open.dial, extra.get(open.dial)! + 1)
  }
  const best = Math.max(...plans.map((plan) => plan.decides))
  const chosen = plans.find(
    (plan) =>
      plan.decides >= PROBABLE ||
      plan.decides >= best - (WORTHWHILE * (plans.length - plans.indexOf(plan))) / dials.length,
  )!
  return { ...chosen, worthwhile: look === 0 || best >= HOPELESS, finest }
}

/** Mixture of the error of a mark's difference with some more runs. */
function errorParts(mark: PlannedMark, extraRuns: number, posterior: NoisePosterior): MixturePart[] {
  const share = sharesOf(mark, extraRuns).left
  return posterior.points.map((point) => ({
    weight: point.weight,
    standardDeviation: Math.sqrt(
      errorVariance(mark.thenErrors, point) + share * errorVariance(mark.nowErrors, point),
    ),
  }))
}

/** What is left of the variance of the new runs' mean with some more, and what the new ones count for in it. */
function sharesOf(mark: PlannedMark, extraRuns: number): { left: number; fresh: number } {
  if (mark.runs === 0) return { left: 1 / Math.max(1, extraRuns), fresh: 1 }
  return { left: mark.runs / (mark.runs + extraRuns), fresh: extraRuns / (mark.runs + extraRuns) }
}

function halfWidth(mark: PlannedMark, extraRuns: number, posterior: NoisePosterior, level: number): number {
  return mixtureHalfWidth(errorParts(mark, extraRuns, posterior), 1 - 2 * level)
}

function probabilityOfDeciding(
  marks: readonly PlannedMark[],
  extra: ReadonlyMap<number, number>,
  posterior: NoisePosterior,
  withinPercent: number,
  level: number,
  seed: number,
): number {
  const { low, high } = toleranceLimits(withinPercent)
  const parts = marks.map((mark) => errorParts(mark, extra.get(mark.dial)!, posterior))
  const halves = parts.map((mixture) => mixtureHalfWidth(mixture, 1 - 2 * level))
  const variances = parts.map((mixture) => mixtureStandardDeviation(mixture) ** 2)
  const { alone, together } = beyondLevels(level, marks.length)
  const farthest = parts.map((mixture) => mixtureHalfWidth(mixture, 1 - 2 * alone))
  // The scatter is uncertain, which lengthens the tails: the quantile is that of the first mark's mixture.
  const quantile = mixtureHalfWidth(parts[0]!, 1 - 2 * together) / Math.sqrt(variances[0]!)
  const means = [marks.map(() => 1), marks.map((mark) => mark.relativeSlope)].map((effects) =>
    plannedMean(effects, variances),
  )
  const isBeyond = (value: number, half: number) => value - half > high || value + half < low
  const normal = seededNormal(seed)
  const uniform = seededUniform(~seed)
  let decided = 0
  for (let k = 0; k < DRAWS; k++) {
    const point = posterior.points[weightedIndex(posterior.points, uniform())]!
    const values = marks.map((mark) => {
      const runs = extra.get(mark.dial)!
      if (runs === 0) return mark.difference
      const now = errorVariance(mark.nowErrors, point)
      if (mark.runs === 0) return Math.sqrt(errorVariance(mark.thenErrors, point) + now / runs) * normal()
      // The mean moves from what it was towards that of the new runs; both scatter about the same feed.
      return mark.difference + sharesOf(mark, runs).fresh * Math.sqrt(now * (1 + mark.runs / runs)) * normal()
    })
    const holds = values.every((value, i) => value - halves[i]! >= low && value + halves[i]! <= high)
    const moved =
      values.some((value, i) => isBeyond(value, farthest[i]!)) ||
      means.some(({ weights, standardDeviation }) =>
        isBeyond(
          values.reduce((sum, value, i) => sum + weights[i]! * value, 0),
          quantile * standardDeviation,
        ),
      )
    if (holds || moved) decided += 1
  }
  return decided / DRAWS
}

/** A mean of the marks as `decide` takes it, their errors taken for independent. */
function plannedMean(
  effects: readonly number[],
  variances: readonly number[],
): { readonly weights: readonly number[]; readonly standardDeviation: number } {
  const shares = effects.map((effect, i) => effect / variances[i]!)
  const total = shares.reduce((sum, share) => sum + Math.abs(share), 0)
  const weights = shares.map((share) => (total > 0 ? share / total : 0))
  const variance = weights.reduce((sum, weight, i) => sum + weight ** 2 * variances[i]!, 0)
  return { weights, standardDeviation: Math.sqrt(variance) }
}

/** What the uncertainty of the table alone leaves, were the new runs exact and their feeds those of the table. */
function finestTolerance(
  marks: readonly PlannedMark[],
  posterior: NoisePosterior,
  level: number,
): NextPlan['finest'] {
  const halves = marks.map((mark) => ({
    dial: mark.dial,
    half: mixtureHalfWidth(
      posterior.points.map((point) => ({
        weight: point.weight,
        standardDeviation: Math.sqrt(errorVariance(mark.thenErrors, point)),
      })),
      1 - 2 * level,
    ),
  }))
  const widest = halves.reduce((wide, one) => (one.half > wide.half ? one : wide))
  return { withinPercent: 100 * -Math.expm1(-widest.half), dial: widest.dial }
}
