import { mixtureHalfWidth, mixtureStandardDeviation, seedFrom } from '../../numbers/index.js'
import {
  type FitOptions,
  type NoisePosterior,
  noisePosterior,
  type RunEvidence,
} from '../../regression/index.js'
import { levelOf } from './decision.js'
import { type CheckedTable, errorsThen } from './evidence.js'
import { fastestOf, groupRuns } from './group-runs.js'
import { errorVariance, type LogFeedErrors } from './mean-errors.js'
import { type NextPlan, type PlannedMark, planNext } from './plan-next.js'
import { relativeSlopes } from './relative-slopes.js'

/** Marks that are rechecked: two tell a common factor, a third one a turned knob. */
const MARKS = 3

/** A mark is worth its runs where this many of them may show the tolerance, with some room. */
const RUNS_TRIED = 4
const ROOM = 0.8

interface Candidate {
  readonly dial: number
  /** How steep the curve is, whichever way it goes. */
  readonly slope: number
  /** One for each direction. */
  readonly marks: readonly PlannedMark[]
  /** Standard uncertainty of the difference with two new runs. */
  readonly uncertainty: number
  readonly canShow: boolean
}

/**
 * The marks that tell most for the fewest runs, and how many runs to begin with: the two whose difference will be known
 * best, which show a common factor, and of those that can show the tolerance at all the one where a turned knob would
 * stand out most (relative slope over uncertainty). A recheck by method has two runs a mark at least.
 *
 * @param tables one for each direction to be rechecked
 * @returns null where nothing tells how far feeds scatter, or no mark can be rechecked
 */
export function planRecheck(
  tables: readonly CheckedTable[],
  earlier: readonly (readonly RunEvidence[])[],
  withinPercent: number,
  options: FitOptions,
): NextPlan | null {
  const fastest = fastestOf(...earlier)
  const groups = earlier.flatMap((some) => groupRuns(some, fastest))
  const posterior = noisePosterior(groups, { dialRepeats: options.stepped || options.dialClicks === true })
  const first = tables[0]
  if (posterior === null || first === undefined) return null
  const candidates = first.marks.flatMap(({ dial }) => {
    const found = candidateAt(tables, dial, fastest, posterior, withinPercent)
    return found === null ? [] : [found]
  })
  const chosen = choose(candidates)
  if (chosen.length === 0) return null
  const seed = seedFrom(`${withinPercent};${chosen.map(({ dial }) => dial).join(',')}`)
  return planNext(
    chosen.flatMap(({ marks }) => marks),
    posterior,
    withinPercent,
    0,
    seed,
  )
}

function choose(candidates: readonly Candidate[]): Candidate[] {
  const byUncertainty = [...candidates].sort((a, b) => a.uncertainty - b.uncertainty)
  const best = byUncertainty.slice(0, MARKS - 1)
  const others = byUncertainty.slice(MARKS - 1)
  const telling = others
    .filter((one) => one.canShow)
    .sort((a, b) => b.slope / b.uncertainty - a.slope / a.uncertainty)[0]
  const third = telling ?? others[0]
  return [...best, ...(third === undefined ? [] : [third])].sort((a, b) => a.dial - b.dial)
}

function candidateAt(
  tables: readonly CheckedTable[],
  dial: number,
  fastest: number,
  posterior: NoisePosterior,
  withinPercent: number,
): Candidate | null {
  const slopes = tables.map((table) => relativeSlopes(table.marks)(dial))
  const marks = tables.flatMap((table, t): PlannedMark[] => {
    const thenErrors = errorsThen(table, dial, slopes[t]!, fastest, posterior)
    if (thenErrors === null) return []
    const nowErrors = errorsOfOneRun(slopes[t]!)
    return [{ dial, difference: 0, thenErrors, nowErrors, runs: 0 }]
  })
  if (marks.length < tables.length) return null
  const parts = (mark: PlannedMark, runs: number) =>
    posterior.points.map((point) => ({
      weight: point.weight,
      standardDeviation: Math.sqrt(
        errorVariance(mark.thenErrors, point) + errorVariance(mark.nowErrors, point) / runs,
      ),
    }))
  const widest = Math.max(
    ...marks.map((mark) => mixtureHalfWidth(parts(mark, RUNS_TRIED), 1 - 2 * levelOf(1))),
  )
  return {
    dial,
    slope: Math.max(...slopes.map(Math.abs)),
    marks,
    uncertainty: Math.max(...marks.map((mark) => mixtureStandardDeviation(parts(mark, 2)))),
    canShow: widest <= ROOM * -Math.log1p(-withinPercent / 100),
  }
}

/** A run yet to be made, its own reading negligible beside what changes from run to run. */
function errorsOfOneRun(slope: number): LogFeedErrors {
  return { runShare: 1, settings: new Map([['next', slope]]), ownVariance: 0, common: new Map() }
}
