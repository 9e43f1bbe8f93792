import { normalUpperTail } from './normal-tail.js'

/** A normal distribution and how much of a mixture it is. Weights sum to 1. */
export interface NormalPart {
  readonly weight: number
  readonly mean: number
  readonly variance: number
}

/** Share of where the quantile can lie that the last step may have. Judgement: far below every digit that is shown. */
const PRECISION = 1e-8

/**
 * Quantile of a mixture of normal distributions, to 1e-8 of where it can lie. Where all variances are 0 at one mean that
 * mean is the quantile. By Newton's steps, and by halves where a step would leave what is left to search (W. H. Press and
 * others, Numerical Recipes in C, 2nd edition, 9.4, "rtsafe").
 *
 * @param probability between 0 and 1
 * @example mixtureQuantile([{ weight: 1, mean: 3, variance: 4 }], 0.975) // 6.92
 */
export function mixtureQuantile(parts: readonly NormalPart[], probability: number): number {
  const deviations = parts.map(({ variance }) => Math.sqrt(variance))
  // Seven standard deviations leave 1e-12 outside.
  let low = Math.min(...parts.map(({ mean }, k) => mean - 7 * deviations[k]!))
  let high = Math.max(...parts.map(({ mean }, k) => mean + 7 * deviations[k]!))
  const precision = PRECISION * (high - low)
  // Near the answer, so that fewer steps are left: where a normal of the mean deviation has it (its quantile by the
  // logistic distribution scaled by 1.702, which is within a fifth of a deviation; from memory).
  const total = (of: (part: NormalPart, k: number) => number) =>
    parts.reduce((sum, part, k) => sum + part.weight * of(part, k), 0)
  const guess =
    total(({ mean }) => mean) +
    (Math.log(probability / (1 - probability)) / 1.702) * total((_, k) => deviations[k]!)
  let at = Math.min(high, Math.max(low, guess))
  for (;;) {
    let above = 0
    let density = 0
    for (let k = 0; k < parts.length; k += 1) {
      const { weight, mean } = parts[k]!
      const deviation = deviations[k]!
      if (deviation > 0) {
        const z = (at - mean) / deviation
        above += weight * normalUpperTail(z)
        density += (weight * DENSITY_AT_0 * Math.exp(-0.5 * z * z)) / deviation
      } else if (mean > at) above += weight
    }
    if (above > 1 - probability) low = at
    else high = at
    const step = (above - (1 - probability)) / density
    const next = at + step > low && at + step < high ? at + step : (low + high) / 2
    if (Math.abs(next - at) <= precision) return next
    at = next
  }
}

/** Density of the standard normal distribution at 0 (by definition). */
const DENSITY_AT_0 = 1 / Math.sqrt(2 * Math.PI)
