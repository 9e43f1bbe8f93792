import { mixtureUpperTail } from '../../numbers/index.js'
import { twoOneSidedTests } from './equivalence.js'
import type { LookLevel } from './looks.js'
import {
  asPercent,
  type Differences,
  type Estimate,
  knobEstimate,
  type MarkDifference,
  markEstimate,
  percentInterval,
  scaleEstimate,
  squaresProbability,
} from './mark-differences.js'

export type Verdict = 'holds' | 'moved' | 'undecided'

/** A difference in percent and where it lies. */
export interface PercentDifference {
  readonly value: number
  readonly interval95: readonly [number, number]
}

export interface MarkDecision {
  readonly mark: MarkDifference
  readonly percent: PercentDifference
  readonly verdict: Verdict
  /** A difference is shown here, whatever its size. */
  readonly changed: boolean
}

export interface Decision {
  readonly verdict: Verdict
  readonly marks: readonly MarkDecision[]
  /** One factor for all marks. */
  readonly scale: PercentDifference
  /** What is shown to lie beyond the tolerance for all marks together; single marks say so themselves. */
  readonly beyond: { readonly scale: boolean; readonly knob: boolean }
  /** A change is shown, whatever its size: one that lies within the tolerance holds all the same. */
  readonly changed: boolean
  /** Probability of such differences where nothing changed: of their weighted mean, and of their sum of squares. */
  readonly probability: { readonly scale: number; readonly squares: number }
}

/** How a decision is made. */
interface Rule {
  /** The tolerance, on either side. */
  readonly withinPercent: number
  /** Probability of being wrong that is allowed, one verdict at a time: `lookLevel`, or 5 % for a single look. */
  readonly level: LookLevel
  /** Of the draws for the sum of squares. */
  readonly seed: number
  /** Relative slope of the dial curve at each mark, per dial unit; null where no knob can have turned. */
  readonly slopes: readonly number[] | null
}

/**
 * How `moved` shares its error over its three tests, the marks sharing theirs evenly (Bonferroni). Judgement: most that
 * happens to a drive moves all feeds alike (voltage, grease, a motor), and the day moves them alike too, so that this test
 * needs the most; the knob and a single mark stand out by themselves where they moved.
 */
export const MOVED_SHARES = { scale: 0.7, knob: 0.1, marks: 0.2 } as const

/**
 * Whether feeds have moved further than a tolerance.
 *
 * `holds`: at every mark, and for all together, two one-sided tests show the difference within the tolerance; all must
 * pass, so that no correction for their number is needed (R. L. Berger, Technometrics 24 (1982) 295-300).
 *
 * `moved`: the difference is shown to lie beyond the tolerance at a mark, or in a mean of the marks: the one that a
 * common factor moves most surely, or the one that a turned knob does; the three share the error
 * (`MOVED_SHARES`). A mean whose weights sum to 1 in size cannot lie beyond the tolerance unless one of the marks does, so
 * that no test rests on a factor or a turned knob being the truth.
 *
 * Else `undecided`.
 */
export function decide(differences: Differences, { withinPercent, level, seed, slopes }: Rule): Decision {
  const { marks } = differences
  const estimates = marks.map((_, i) => markEstimate(differences, i))
  const scale = scaleEstimate(differences)
  const knob = slopes === null ? null : knobEstimate(differences, slopes)
  const [whole, alone] = [level(1), level(MOVED_SHARES.marks / marks.length)]
  const beyond = {
    scale: isBeyond(scale, withinPercent, level(MOVED_SHARES.scale)),
    knob: knob !== null && isBeyond(knob, withinPercent, level(MOVED_SHARES.knob)),
  }
  const probability = {
    scale: bothTails(scale),
    squares: squaresProbability(differences, seed),
  }
  const decided = marks.map((mark, i): MarkDecision => {
    const estimate = estimates[i]!
    return {
      mark,
      percent: percentOf(estimate),
      verdict: isWithin(estimate, withinPercent, whole)
        ? 'holds'
        : isBeyond(estimate, withinPercent, alone)
          ? 'moved'
          : 'undecided',
      changed: bothTails(estimate) <= whole / marks.length,
    }
  })
  const holds = decided.every(({ verdict }) => verdict === 'holds') && isWithin(scale, withinPercent, whole)
  const moved = beyond.scale || beyond.knob || decided.some(({ verdict }) => verdict === 'moved')
  return {
    verdict: holds ? 'holds' : moved ? 'moved' : 'undecided',
    marks: decided,
    scale: percentOf(scale),
    beyond,
    changed: Math.min(probability.scale, probability.squares) <= whole / 2,
    probability,
  }
}

/**
 * Whether the difference is shown to lie beyond the tolerance: the test of a least effect, whose probability is that of
 * an estimate this far out on either side if the true difference lay at the limit (J. L. Hodges, E. L. Lehmann, J.
 * Royal Statistical Society B 16 (1954) 261-268).
 */
export function isBeyond({ value, error }: Estimate, withinPercent: number, level: number): boolean {
  const { low, high } = toleranceLimits(withinPercent)
  if (value >= low && value <= high) return false
  const [nearer, further] = value > high ? [value - high, value - low] : [low - value, high - value]
  return mixtureUpperTail(error, nearer) + mixtureUpperTail(error, further) <= level
}

/** Whether the difference is shown to lie within the tolerance. */
function isWithin({ value, error }: Estimate, withinPercent: number, level: number): boolean {
  const { low, high } = toleranceLimits(withinPercent)
  const upperTail = (x: number) => mixtureUpperTail(error, x)
  const { pLower, pUpper } = twoOneSidedTests({ difference: value, low, high, upperTail })
  return Math.max(pLower, pUpper) <= level
}

/** The tolerance as limits of a logarithm of a ratio. */
export function toleranceLimits(withinPercent: number): { readonly low: number; readonly high: number } {
  return { low: Math.log1p(-withinPercent / 100), high: Math.log1p(withinPercent / 100) }
}

function bothTails({ value, error }: Estimate): number {
  return 2 * mixtureUpperTail(error, Math.abs(value))
}

/** An estimated logarithm of a ratio as a difference in percent with its 95 % interval. */
function percentOf(estimate: Estimate): PercentDifference {
  return { value: asPercent(estimate.value), interval95: percentInterval(estimate, 0.95) }
}
