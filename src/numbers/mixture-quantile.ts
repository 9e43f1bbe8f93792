import { normalUpperTail } from './normal-tail.js'

/** A normal distribution and how much of a mixture it is. Weights sum to 1. */
export interface NormalPart {
  readonly weight: number
  readonly mean: number
  readonly variance: number
}

/**
 * Share of the widest standard deviation that the bisection may leave. Judgement: far below every digit that is
 * shown.
 */
const PRECISION = 1e-7

/**
 * Quantile of a mixture of normal distributions, to 1e-7 of its widest part. Where all variances are 0 at one mean that
 * mean is the quantile.
 *
 * @param probability between 0 and 1
 * @example mixtureQuantile([{ weight: 1, mean: 3, variance: 4 }], 0.975) // 6.92
 */
export function mixtureQuantile(parts: readonly NormalPart[], probability: number): number {
  const deviations = parts.map(({ variance }) => Math.sqrt(variance))
  const widest = Math.max(...deviations)
  // Seven standard deviations leave 1e-12 outside.
  let low = Math.min(...parts.map(({ mean }, k) => mean - 7 * deviations[k]!))
  let high = Math.max(...parts.map(({ mean }, k) => mean + 7 * deviations[k]!))
  const precision = PRECISION * Math.max(widest, high - low) * 1e-1
  while (high - low > precision) {
    const middle = (low + high) / 2
    let above = 0
    for (const [k, { weight, mean }] of parts.entries()) {
      const deviation = deviations[k]!
      if (deviation > 0) above += weight * normalUpperTail((middle - mean) / deviation)
      else if (mean > middle) above += weight
    }
    if (above > 1 - probability) low = middle
    else high = middle
  }
  return (low + high) / 2
}
