import { normalCdf, normalQuantile } from './student-t.js'

/** Relative precision of the answer. Derived: a hundredth of the nine digits a table is compared by. */
const PRECISION = 1e-11

/** A normal distribution about zero and how much of the mixture it is. Weights sum to 1. */
export interface MixturePart {
  readonly standardDeviation: number
  readonly weight: number
}

/**
 * Half width of the interval about zero that holds `probability` of a mixture of normal distributions about zero.
 * One part gives the normal quantile: 1.96 standard deviations for 0.95. Newton steps within a bracket.
 *
 * @param probability between 0 and 1
 * @example mixtureHalfWidth([{ standardDeviation: 2, weight: 1 }], 0.95) // 3.92
 */
export function mixtureHalfWidth(parts: readonly MixturePart[], probability: number): number {
  const tail = (1 - probability) / 2
  const z = normalQuantile(1 - tail)
  let low = z * Math.min(...parts.map((part) => part.standardDeviation))
  let high = z * Math.max(...parts.map((part) => part.standardDeviation))
  let half = z * mixtureStandardDeviation(parts)
  while (high - low > PRECISION * high) {
    let beyond = 0
    let density = 0
    for (const { standardDeviation, weight } of parts) {
      const x = half / standardDeviation
      beyond += weight * normalCdf(-x)
      density += (weight * Math.exp((-x * x) / 2)) / (standardDeviation * Math.sqrt(2 * Math.PI))
    }
    if (beyond > tail) low = half
    else high = half
    const step = (beyond - tail) / density
    if (Math.abs(step) < PRECISION * half) return half + step
    half += step
    // Newton's step left the bracket: halve it instead.
    if (!(half > low && half < high)) half = (low + high) / 2
  }
  return half
}

/** Standard deviation of the mixture: the root of its mean variance. */
export function mixtureStandardDeviation(parts: readonly MixturePart[]): number {
  let variance = 0
  for (const part of parts) variance += part.weight * part.standardDeviation ** 2
  return Math.sqrt(variance)
}

/** Probability that a variable of the mixture lies above `x`. */
export function mixtureUpperTail(parts: readonly MixturePart[], x: number): number {
  return parts.reduce(
    (sum, { standardDeviation, weight }) => sum + weight * normalCdf(-x / standardDeviation),
    0,
  )
}
