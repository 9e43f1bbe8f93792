/**
 * Span, in time constants, below which the closed form loses its digits to cancellation. Derived: the first two
 * terms of the series are off by 0.15·s², 1.5e-5 here.
 */
const SERIES_BELOW = 1e-2

/**
 * Slope of the least-squares line through x(t) = −e^(−t) over 0…`span`, as a share of the slope at 0: what a straight
 * line makes of a speed that lacks e^(−t). From the integrals of t·e^(−t) and e^(−t): 12/s³·(s/2·(1 + e^(−s)) − 1 + e^(−s)),
 * which is 1 − s/2 for small and 6/s² for large s.
 *
 * @param span in time constants
 * @example slopeOfDecay(5) // 0.1463: over five time constants a line still lacks a seventh of what the start does
 */
export function slopeOfDecay(span: number): number {
  if (span < SERIES_BELOW) return 1 - span / 2
  return (12 / span ** 3) * ((span / 2) * (1 + Math.exp(-span)) + Math.expm1(-span))
}
