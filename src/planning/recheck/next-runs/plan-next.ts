import type { ErrorPosterior } from '../error-points.js'
import { type Agreements, MOST_LOOKS } from '../looks.js'
import { type FinestTolerance, finestTolerance } from './finest.js'
import { anotherDay, type PlannedMark, type PlannedSession, plannedError } from './planned-mark.js'
import { probabilityOfDeciding } from './probability-of-deciding.js'

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
  /** The runs are to be made on another day, since it is the day that keeps the question open. */
  readonly onAnotherDay: boolean
  /** Days, each with such runs, after which it is probably decided, and how probably; one where the next runs will do. */
  readonly days: { readonly count: number; readonly decides: number }
  /** Whether that is probable enough to be worth the runs. */
  readonly worthwhile: boolean
  readonly finest: FinestTolerance
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

/**
 * The same for runs on other days, which are a few minutes each. Judgement: low, for the probability takes every true
 * difference for as likely as the next, and most machines did not move.
 */
const HOPELESS_DAYS = 0.02
/**
 * Gain of probability for which another day is waited for. Judgement: one question in five that would stay open today.
 */
const WORTH_A_DAY = 0.2

/** What is asked of a plan. */
interface PlanQuestion {
  readonly withinPercent: number
  /** How well the looks so far agree; null before the first. */
  readonly agreements: Agreements | null
  /** The session that runs would be made in now. */
  readonly present: string
  readonly seed: number
}

/**
 * The fewest new runs that probably decide, added one by one at the dial whose difference is least well known. Whether
 * they will is drawn: more runs move each difference by what scatter and days allow, and the decision is made again. What
 * the day of the table and that of the runs have between them no run of the same day lessens: where that keeps the
 * question open, the runs are asked for on another day.
 */
export function planNext(
  marks: readonly PlannedMark[],
  posterior: ErrorPosterior,
  question: PlanQuestion,
): NextPlan {
  const { agreements, present } = question
  const looks = agreements === null ? 0 : agreements.length + 1
  const finest = finestTolerance(marks, posterior, looks, present)
  if (looks >= MOST_LOOKS) {
    const none = { count: 0, decides: 0 }
    return { ...{ runs: [], decides: 0, onAnotherDay: false, days: none, worthwhile: false }, finest }
  }
  const decides = (planned: readonly PlannedSession[]) =>
    probabilityOfDeciding(marks, planned, posterior, question)
  const today = fewestRuns(
    marks,
    posterior,
    present,
    looks === 0 ? FIRST_RUNS : { least: 0, most: MOST_RUNS_A_DIAL },
    decides,
  )
  const sameDay = { ...today.chosen, onAnotherDay: false, days: { count: 1, decides: today.chosen.decides } }
  const countOnDays = looks > 0 && marks.some((mark) => mark.dayRelative > 0)
  if (!countOnDays || today.chosen.decides >= PROBABLE)
    return { ...sameDay, worthwhile: looks === 0 || today.best >= HOPELESS, finest }
  const left = MOST_LOOKS - looks
  const onDays = (runs: RunsPlanned['runs'], count: number) => decides(onOtherDays(runs, count))
  // As many runs as pay over all the days that are left: over the first alone they seldom do.
  const { runs } = fewestRuns(
    marks,
    posterior,
    anotherDay(1),
    { least: 1, most: MOST_RUNS_A_DIAL },
    (_, ofDay) => onDays(ofDay, left),
  ).chosen
  const onFirst = onDays(runs, 1)
  const days = daysNeeded(onFirst, left, (count) => onDays(runs, count))
  const isBetter = days.decides >= today.chosen.decides + WORTH_A_DAY
  if (isBetter || (today.best < HOPELESS && days.decides >= HOPELESS_DAYS))
    return { runs, decides: onFirst, onAnotherDay: true, days, worthwhile: true, finest }
  return { ...sameDay, worthwhile: today.best >= HOPELESS, finest }
}

/**
 * Probability that all the looks there may be show a move of all feeds by twice the tolerance, each with the first runs,
 * and on a day of its own where days count: what the prior of the day leaves of it.
 */
export function showsTwice(
  marks: readonly PlannedMark[],
  posterior: ErrorPosterior,
  question: PlanQuestion,
  runs: readonly NextRuns[],
): number {
  const moved = marks.map((mark) => ({ ...mark, difference: Math.log1p((2 * question.withinPercent) / 100) }))
  const ofDay = new Map(runs.map((one) => [one.dial, one.runs]))
  const first = { session: question.present, runs: ofDay }
  const later = marks.some((mark) => mark.dayRelative > 0)
    ? onOtherDays(runs, MOST_LOOKS - 1)
    : Array.from({ length: MOST_LOOKS - 1 }, () => first)
  return probabilityOfDeciding(moved, [first, ...later], posterior, question)
}

interface RunsPlanned {
  readonly runs: readonly NextRuns[]
  readonly decides: number
}

/** The fewest runs of one session that probably decide, and how probably the best of the plans looked at would. */
function fewestRuns(
  marks: readonly PlannedMark[],
  posterior: ErrorPosterior,
  session: string,
  { least, most }: { readonly least: number; readonly most: number },
  decides: (planned: readonly PlannedSession[], runs: RunsPlanned['runs']) => number,
): { readonly chosen: RunsPlanned; readonly best: number } {
  const dials = [...new Set(marks.map((mark) => mark.dial))]
  const extra = new Map(dials.map((dial) => [dial, least]))
  const plans: RunsPlanned[] = []
  for (;;) {
    const planned = { session, runs: extra }
    if ([...extra.values()].some((runs) => runs > 0)) {
      const runs = dials.map((dial) => ({ dial, runs: extra.get(dial)! })).filter((one) => one.runs > 0)
      plans.push({ runs, decides: decides([planned], runs) })
      if (plans.at(-1)!.decides >= PROBABLE) break
    }
    const open = marks
      .filter((mark) => extra.get(mark.dial)! < most)
      .map((mark) => ({
        dial: mark.dial,
        variance: plannedError(mark, [planned], posterior)?.expected ?? Number.POSITIVE_INFINITY,
      }))
      .sort((a, b) => b.variance - a.variance)[0]
    if (open === undefined) break
    extra.set(open.dial, extra.get(open.dial)! + 1)
  }
  const best = Math.max(...plans.map((plan) => plan.decides))
  const chosen = plans.find(
    (plan) =>
      plan.decides >= PROBABLE ||
      plan.decides >= best - (WORTHWHILE * (plans.length - plans.indexOf(plan))) / dials.length,
  )!
  return { chosen, best }
}

/** So many days yet to come with the same runs on each. */
function onOtherDays(runs: RunsPlanned['runs'], count: number): PlannedSession[] {
  const ofDay = new Map(runs.map((one) => [one.dial, one.runs]))
  return Array.from({ length: count }, (_, k) => ({ session: anotherDay(k + 1), runs: ofDay }))
}

/** Days after which it is probably decided, as many as there are looks left at most. */
function daysNeeded(onFirst: number, most: number, decides: (count: number) => number): NextPlan['days'] {
  let found = { count: 1, decides: onFirst }
  while (found.decides < PROBABLE && found.count < most) {
    const count = found.count + 1
    found = { count, decides: decides(count) }
  }
  return found
}
