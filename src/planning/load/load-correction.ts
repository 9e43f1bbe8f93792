import { Z95 } from '../../numbers/z95.js'
import type { FitOptions, RunEvidence } from '../../regression/index.js'
import { type DialWriting, writingOf } from '../../units/index.js'
import { type Comparison, compareGroups } from '../recheck/index.js'

/** How much slower the table runs under cut than free, in one direction. */
export interface LoadCorrection extends DialWriting {
  /** ln of feed under cut over free feed at the same dial. */
  readonly logFactor: number
  /** Half width of its 95 % interval, in the logarithm. */
  readonly halfWidth95: number
  /** Dials measured both free and under cut, rising. */
  readonly dials: readonly number[]
  readonly cuttingRuns: number
  readonly freeRuns: number
}

/**
 * Tolerance, percent, that the comparison asks for and this correction does not use; any value gives the same.
 * Judgement.
 */
const ANY_TOLERANCE_PERCENT = 2

/**
 * One factor from free feed to feed under cut, over the dials that were measured both ways, by the comparison of groups
 * that a recheck uses. Where the dials differ among themselves by more than their scatter explains, the difference
 * counts as uncertainty of the one factor: between dials nothing tells which is right.
 *
 * @param free runs made without a cut and `cutting` under one, of the same direction
 * @throws DataError `nothing-to-compare`, `no-repeats`
 */
export function loadCorrection(
  free: readonly RunEvidence[],
  cutting: readonly RunEvidence[],
  options: FitOptions,
): LoadCorrection {
  const comparison = compareGroups(
    { left: free, right: cutting, acrossDirections: false, options },
    ANY_TOLERANCE_PERCENT,
  )
  const [low, high] = comparison.scale.interval95.map((percent) => Math.log1p(percent / 100)) as [
    number,
    number,
  ]
  const dials = comparison.compared.map((mark) => mark.dial).sort((a, b) => a - b)
  const runs = (side: 0 | 1) => comparison.compared.reduce((sum, mark) => sum + mark.runs[side], 0)
  return {
    ...writingOf(options),
    logFactor: Math.log1p(comparison.scale.value / 100),
    halfWidth95: Math.hypot((high - low) / 2, Z95 * spreadBetweenDials(comparison)),
    dials,
    freeRuns: runs(0),
    cuttingRuns: runs(1),
  }
}

/**
 * Standard deviation between the dials beyond what their own uncertainty explains: the variance of the differences less
 * the mean of their variances (W. G. Cochran, Biometrics 10 (1954) 101-129, with equal weights).
 */
function spreadBetweenDials({ marks }: Comparison): number {
  if (marks.length < 2) return 0
  const logs = marks.map(({ percent }) => Math.log1p(percent.value / 100))
  const mean = logs.reduce((sum, log) => sum + log, 0) / logs.length
  const variance = logs.reduce((sum, log) => sum + (log - mean) ** 2, 0) / (logs.length - 1)
  const own =
    marks.reduce((sum, { percent: { interval95 } }) => {
      const half = (Math.log1p(interval95[1] / 100) - Math.log1p(interval95[0] / 100)) / 2
      return sum + (half / Z95) ** 2
    }, 0) / marks.length
  return Math.sqrt(Math.max(0, variance - own))
}
