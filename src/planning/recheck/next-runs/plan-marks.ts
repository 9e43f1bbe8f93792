import { mixtureHalfWidth, seedFrom } from '../../../numbers/index.js'
import type { FitOptions, RunEvidence, ScatterPosterior } from '../../../regression/index.js'
import { type ErrorPosterior, withDays } from '../error-points.js'
import { fastestOf, groupRuns } from '../group-runs.js'
import { lookLevel } from '../looks.js'
import { type LogFeedErrors, plainErrors } from '../mean-errors.js'
import { relativeSlopes } from '../relative-slopes.js'
import { runScatter } from '../run-scatter.js'
import { type CheckedTable, errorsThen } from '../table-feed.js'
import { type NextPlan, planNext, showsTwice } from './plan-next.js'
import { mixtureOf, type PlannedMark, plannedError } from './planned-mark.js'

/**
 * Marks that are rechecked, where so many can show the tolerance: bottom, middle and top. Judgement: two cannot
 * tell a factor and a turned knob from a change of shape.
 */
const MARKS = 3

/** New runs with which a mark can show the tolerance at best, as in `MOST_RUNS_A_DIAL`. Judgement. */
const FEW_RUNS = 4
/**
 * The same where a half of the dial has no mark for which a few will do. Judgement: as many as two goes at most.
 */
const MANY_RUNS = 8
/**
 * Share of the tolerance that the interval may take by then. Judgement: a fifth is left for a difference that is
 * there.
 */
const ROOM = 0.8

/** What a recheck begins with. */
interface FirstPlan extends NextPlan {
  /** Probability that a move of twice the tolerance is shown by all the looks there may be; worked out when asked for. */
  readonly showsTwice: () => number
}

interface Candidate {
  readonly dial: number
  /** One for each direction. */
  readonly marks: readonly PlannedMark[]
  /** Standard uncertainty of the difference with two new runs. */
  readonly uncertainty: number
  /** Whether so many new runs may show the tolerance. */
  readonly canShow: (runs: number) => boolean
}

/**
 * The marks to recheck, and how many runs to begin with: of the marks that can show the tolerance with a few runs the
 * lowest, the one nearest to the middle, and the highest, so that a change of a part of the dial does not go by unseen.
 * Where a half of the dial has none, its best known mark stands in, if more runs will do. Three marks tell a common
 * factor from a turned knob too, which moves the slow end more. Where fewer than three can show the tolerance at all,
 * those known best are taken. A recheck by method has two runs a mark at least.
 *
 * @param tables one for each direction to be rechecked
 * @returns null where nothing tells how far feeds scatter, or no mark can be rechecked
 */
export function planRecheck(
  tables: readonly CheckedTable[],
  earlier: readonly (readonly RunEvidence[])[],
  withinPercent: number,
  options: FitOptions,
): FirstPlan | null {
  const fastest = fastestOf(...earlier)
  const scatter = runScatter(earlier, (some) => groupRuns(some, fastest), options)
  const first = tables[0]
  if (scatter === null || first === undefined) return null
  const known = { scatter, posterior: withDays(scatter, first.days?.sizes) }
  const candidates = first.marks.flatMap(({ dial }) => {
    const found = candidateAt(tables, dial, fastest, known, withinPercent)
    return found === null ? [] : [found]
  })
  const chosen = choose(candidates)
  if (chosen.length === 0) return null
  const seed = seedFrom(`${withinPercent};${chosen.map(({ dial }) => dial).join(',')}`)
  const marks = chosen.flatMap((one) => one.marks)
  const question = { withinPercent, agreements: null, present: presentOf(tables), seed }
  const plan = planNext(marks, known.posterior, question)
  return { ...plan, showsTwice: () => showsTwice(marks, known.posterior, question, plan.runs) }
}

function choose(candidates: readonly Candidate[]): readonly Candidate[] {
  const byUncertainty = [...candidates].sort((a, b) => a.uncertainty - b.uncertainty)
  const dials = candidates.map(({ dial }) => dial)
  const middle = (Math.min(...dials) + Math.max(...dials)) / 2
  const halves = [(dial: number) => dial < middle, (dial: number) => dial > middle]
  const fewWillDo = byUncertainty.filter((one) => one.canShow(FEW_RUNS))
  const standIns = halves
    .filter((isIn) => !fewWillDo.some(({ dial }) => isIn(dial)))
    .flatMap((isIn) => byUncertainty.find((one) => isIn(one.dial) && one.canShow(MANY_RUNS)) ?? [])
  const showing = [...fewWillDo, ...standIns]
  return bottomMiddleTop(showing.length < MARKS ? byUncertainty.slice(0, MARKS) : showing)
}

/**
 * The lowest of some settings of the dial, the one nearest to the middle of these two, and the highest; by dial. Of two
 * as near the first given is taken.
 */
export function bottomMiddleTop<T extends { readonly dial: number }>(settings: readonly T[]): readonly T[] {
  if (settings.length <= MARKS) return [...settings].sort((a, b) => a.dial - b.dial)
  const byDial = [...settings].sort((a, b) => a.dial - b.dial)
  const [bottom, top] = [byDial[0]!, byDial.at(-1)!]
  const offMiddle = ({ dial }: T) => Math.abs(dial - (bottom.dial + top.dial) / 2)
  const between = settings.filter((one) => one !== bottom && one !== top)
  const middle = between.sort((a, b) => offMiddle(a) - offMiddle(b))[0]!
  return [bottom, middle, top]
}

function candidateAt(
  tables: readonly CheckedTable[],
  dial: number,
  fastest: number,
  { scatter, posterior }: { readonly scatter: ScatterPosterior; readonly posterior: ErrorPosterior },
  withinPercent: number,
): Candidate | null {
  const slopes = tables.map((table) => relativeSlopes(table.marks)(dial))
  const marks = tables.flatMap((table, t): PlannedMark[] => {
    const thenErrors = errorsThen(table, dial, slopes[t]!, fastest, scatter)
    if (thenErrors === null) return []
    const nowErrors = errorsOfOneRun(slopes[t]!)
    const dayRelative = table.days?.dayRelative ?? 0
    return [
      {
        ...{ dial, relativeSlope: slopes[t]!, difference: 0, thenErrors, nowErrors, dayRelative },
        sessions: new Map<string, number>(),
      },
    ]
  })
  if (marks.length < tables.length) return null
  const errorAfter = (mark: PlannedMark, runs: number) =>
    plannedError(mark, [{ session: presentOf(tables), runs: new Map([[dial, runs]]) }], posterior)!
  return {
    dial,
    marks,
    uncertainty: Math.max(...marks.map((mark) => Math.sqrt(errorAfter(mark, 2).expected))),
    canShow: (runs) =>
      marks.every((mark) => {
        const mixture = mixtureOf(errorAfter(mark, runs), posterior)
        return mixtureHalfWidth(mixture, 1 - 2 * lookLevel([])(1)) <= ROOM * -Math.log1p(-withinPercent / 100)
      }),
  }
}

/** The session that runs would be made in now; one of its own where no days are told apart. */
function presentOf(tables: readonly CheckedTable[]): string {
  return tables[0]?.days?.present ?? ''
}

/** A run yet to be made, its own reading negligible beside what changes from run to run. */
function errorsOfOneRun(slope: number): LogFeedErrors {
  return { ...plainErrors(0), runShare: 1, settings: new Map([['next', slope]]) }
}
