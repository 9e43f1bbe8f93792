import { mixtureUpperTail } from '../../numbers/index.js'
import { twoOneSidedTests } from './equivalence.js'
import {
  asPercent,
  type Differences,
  type Estimate,
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
}

export interface Decision {
  readonly verdict: Verdict
  readonly marks: readonly MarkDecision[]
  /** One factor for all marks. */
  readonly scale: PercentDifference
  /** Probability of such differences where nothing moved: of their weighted mean, and of their sum of squares. */
  readonly probability: { readonly scale: number; readonly squares: number }
}

/**
 * What each look at the same question may spend of the 5 % in all, first look first: a recheck that goes on after
 * `undecided` looks again at runs it has looked at before, and every look is one more chance to be wrong
 * (P. C. O'Brien, T. R. Fleming, Biometrics 35 (1979) 549-556). Later looks share most of their runs with earlier ones,
 * so that these levels keep to 5 % together; found by simulation.
 */
const LEVELS = [0.025, 0.015, 0.01, 0.01] as const

/** Looks at one question: after these there is nothing left to spend. */
export const MOST_LOOKS = LEVELS.length

/** The level of one look, from 1. */
export function levelOf(look: number): number {
  return LEVELS[Math.min(look, MOST_LOOKS) - 1] ?? LEVELS[0]
}

/**
 * Whether feeds have moved, as a decision about equivalence.
 *
 * `holds`: at every mark, and for all together, two one-sided tests show the difference within the tolerance; all must
 * pass, so that no correction for their number is needed (R. L. Berger, Technometrics 24 (1982) 295-300). `moved`: not
 * so, and the weighted mean or the sum of squares of the differences is beyond what scatter explains, each at half the
 * level. Else `undecided`.
 *
 * @param withinPercent the tolerance, on either side
 * @param level probability of being wrong that is allowed: `levelOf` a look, or 5 % for a single one
 * @param seed of the draws for the sum of squares
 */
export function decide(
  differences: Differences,
  withinPercent: number,
  level: number,
  seed: number,
): Decision {
  const { marks } = differences
  const estimates = marks.map((_, i) => markEstimate(differences, i))
  const scale = scaleEstimate(differences)
  const probability = {
    scale: bothTails(scale),
    squares: squaresProbability(differences, seed),
  }
  const beyondScatter = Math.min(probability.scale, probability.squares) <= level / 2
  const holds = [...estimates, scale].every((one) => isWithin(one, withinPercent, level))
  return {
    verdict: holds ? 'holds' : beyondScatter ? 'moved' : 'undecided',
    marks: marks.map((mark, i) => ({
      mark,
      percent: percentOf(estimates[i]!),
      verdict: isWithin(estimates[i]!, withinPercent, level)
        ? 'holds'
        : bothTails(estimates[i]!) <= level / marks.length
          ? 'moved'
          : 'undecided',
    })),
    scale: percentOf(scale),
    probability,
  }
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
