import { mixtureUpperTail } from '../../numbers/index.js'
import { twoOneSidedTests } from './equivalence.js'
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
export interface Rule {
  /** The tolerance, on either side. */
  readonly withinPercent: number
  /** Probability of being wrong that is allowed: `levelOf` a look, or 5 % for a single one. */
  readonly level: number
  /** Of the draws for the sum of squares. */
  readonly seed: number
  /** Relative slope of the dial curve at each mark, per dial unit; null where no knob can have turned. */
  readonly slopes: readonly number[] | null
}

/**
 * What each look at the same question may spend of the 5 % in all, first look first: a recheck that goes on after
 * `undecided` looks again at runs it has looked at before, and every look is one more chance to be wrong. The 5 % are
 * split over the looks that are planned, and by the inequality of Bonferroni the probability of being wrong at any of
 * them is at most the sum of these levels (C. E. Bonferroni, Pubbl. R. Ist. Sup. Sci. Econ. Comm. Firenze 8 (1936)
 * 3-62, from memory). Later looks share their runs with earlier ones, so that the truth is smaller still: a
 * group-sequential boundary would use that, this split does not. Half goes to the first look, where most rechecks end;
 * the halving is a choice.
 */
const LEVELS = [0.025, 0.0125, 0.0075, 0.005] as const

/** Looks at one question: after these there is nothing left to spend. */
export const MOST_LOOKS = LEVELS.length

/** The level of one look, from 1. */
export function levelOf(look: number): number {
  return LEVELS[Math.min(look, MOST_LOOKS) - 1] ?? LEVELS[0]
}

/**
 * Whether feeds have moved further than a tolerance.
 *
 * `holds`: at every mark, and for all together, two one-sided tests show the difference within the tolerance; all must
 * pass, so that no correction for their number is needed (R. L. Berger, Technometrics 24 (1982) 295-300).
 *
 * `moved`: the difference is shown to lie beyond the tolerance at a mark, or in a mean of the marks: the one that a
 * common factor moves most surely, or the one that a turned knob does. The three share the level, and the marks their
 * third of it (Bonferroni). A mean whose weights sum to 1 in size cannot lie beyond the tolerance unless one of the marks
 * does, so that no test rests on a factor or a turned knob being the truth.
 *
 * Else `undecided`.
 */
export function decide(differences: Differences, { withinPercent, level, seed, slopes }: Rule): Decision {
  const { marks } = differences
  const estimates = marks.map((_, i) => markEstimate(differences, i))
  const scale = scaleEstimate(differences)
  const knob = slopes === null ? null : knobEstimate(differences, slopes)
  const { alone, together } = beyondLevels(level, marks.length)
  const beyond = {
    scale: isBeyond(scale, withinPercent, together),
    knob: knob !== null && isBeyond(knob, withinPercent, together),
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
      verdict: isWithin(estimate, withinPercent, level)
        ? 'holds'
        : isBeyond(estimate, withinPercent, alone)
          ? 'moved'
          : 'undecided',
      changed: bothTails(estimate) <= level / marks.length,
    }
  })
  const holds = decided.every(({ verdict }) => verdict === 'holds') && isWithin(scale, withinPercent, level)
  const moved = beyond.scale || beyond.knob || decided.some(({ verdict }) => verdict === 'moved')
  return {
    verdict: holds ? 'holds' : moved ? 'moved' : 'undecided',
    marks: decided,
    scale: percentOf(scale),
    beyond,
    changed: Math.min(probability.scale, probability.squares) <= level / 2,
    probability,
  }
}

/** How the common factor, the turned knob and the marks share the level of `moved`. */
export function beyondLevels(
  level: number,
  marks: number,
): { readonly alone: number; readonly together: number } {
  return { alone: level / (3 * marks), together: level / 3 }
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
export function isWithin({ value, error }: Estimate, withinPercent: number, level: number): boolean {
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
export function percentOf(estimate: Estimate): PercentDifference {
  return { value: asPercent(estimate.value), interval95: percentInterval(estimate, 0.95) }
}
