/**
 * Probability that a standard normal variable lies above `z`, to 1.5e-7: the rational approximation of M. Abramowitz,
 * I. A. Stegun (1964), 7.1.26. Lookups at the machine use it, which would wait longer for a library of distributions to
 * load than for everything else; whatever is fitted or tested uses `normalCdf`.
 *
 * @example normalUpperTail(1.959964) // 0.0250000
 */
export function normalUpperTail(z: number): number {
  const x = Math.abs(z) / Math.SQRT2
  const t = 1 / (1 + 0.3275911 * x)
  const series =
    t * (0.254829592 + t * (-0.284496736 + t * (1.421413741 + t * (-1.453152027 + t * 1.061405429))))
  const upper = 0.5 * series * Math.exp(-x * x)
  return z >= 0 ? upper : 1 - upper
}
