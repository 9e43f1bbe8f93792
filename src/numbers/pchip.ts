/** A piecewise cubic through points: values and slopes at rising knots. */
interface PiecewiseCubic {
  readonly x: readonly number[]
  readonly y: readonly number[]
  /** Derivative at each knot, units of y per unit of x. */
  readonly slope: readonly number[]
}

/**
 * Shape-preserving piecewise cubic Hermite interpolant: it has no bump or dip that the points do not have.
 *
 * Inner slopes are the weighted harmonic mean of the neighbouring secants (F. N. Fritsch, J. Butland,
 * SIAM J. Sci. Stat. Comput. 5 (1984) 300-304), zero at a local extremum; end slopes the three-point formula,
 * limited so that the shape is kept (C. Moler, Numerical Computing with MATLAB, 2004, section 3.6).
 *
 * @param x strictly rising knots, at least two
 * @param y values at the knots
 * @throws {RangeError} fewer than two knots, or knots that do not rise: a bug of the caller
 * @example pchip([0, 1, 2], [0, 1, 4]).slope // [0, 1.5, 4]
 */
export function pchip(x: readonly number[], y: readonly number[]): PiecewiseCubic {
  const n = x.length
  if (n < 2 || y.length !== n)
    throw new RangeError(`pchip needs two or more points, got ${n} and ${y.length}`)
  const gap: number[] = []
  const secant: number[] = []
  for (let i = 0; i < n - 1; i++) {
    const width = x[i + 1]! - x[i]!
    if (!(width > 0)) throw new RangeError(`pchip needs rising knots, got ${x[i]} before ${x[i + 1]}`)
    gap.push(width)
    secant.push((y[i + 1]! - y[i]!) / width)
  }
  if (n === 2) return { x, y, slope: [secant[0]!, secant[0]!] }
  const slope = new Array<number>(n).fill(0)
  slope[0] = endSlope(gap[0]!, gap[1]!, secant[0]!, secant[1]!)
  slope[n - 1] = endSlope(gap[n - 2]!, gap[n - 3]!, secant[n - 2]!, secant[n - 3]!)
  for (let i = 1; i < n - 1; i++) {
    const before = secant[i - 1]!
    const after = secant[i]!
    if (before * after <= 0) continue
    const weightBefore = 2 * gap[i]! + gap[i - 1]!
    const weightAfter = gap[i]! + 2 * gap[i - 1]!
    slope[i] = (weightBefore + weightAfter) / (weightBefore / before + weightAfter / after)
  }
  return { x, y, slope }
}

/** Three-point slope at an end; `gap` and `secant` are the outermost, `nextGap` and `nextSecant` the ones inside. */
function endSlope(gap: number, nextGap: number, secant: number, nextSecant: number): number {
  const slope = ((2 * gap + nextGap) * secant - gap * nextSecant) / (gap + nextGap)
  if (slope * secant <= 0) return 0
  if (secant * nextSecant <= 0 && Math.abs(slope) > 3 * Math.abs(secant)) return 3 * secant
  return slope
}

/**
 * Value of a piecewise cubic at `at`; outside the knots the end piece's tangent goes on.
 * @example evaluateCubic(pchip([0, 1], [0, 2]), 0.5) // 1
 */
export function evaluateCubic(cubic: PiecewiseCubic, at: number): number {
  const { x, y, slope } = cubic
  const last = x.length - 1
  if (at <= x[0]!) return y[0]! + slope[0]! * (at - x[0]!)
  if (at >= x[last]!) return y[last]! + slope[last]! * (at - x[last]!)
  let low = 0
  let high = last
  while (high - low > 1) {
    const middle = (low + high) >> 1
    if (x[middle]! <= at) low = middle
    else high = middle
  }
  const gap = x[high]! - x[low]!
  const t = (at - x[low]!) / gap
  const s = 1 - t
  return (
    s * s * (1 + 2 * t) * y[low]! +
    t * t * (1 + 2 * s) * y[high]! +
    gap * t * s * (s * slope[low]! - t * slope[high]!)
  )
}
