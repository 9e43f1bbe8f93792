/**
 * Scalar product Σ aᵢ·bᵢ of two columns of the same length; unit of a times unit of b.
 * @example dot(Float64Array.of(1, 2), Float64Array.of(3, 4)) // 11
 */
export function dot(a: Float64Array, b: Float64Array): number {
  let sum = 0
  for (let i = 0; i < a.length; i++) sum += a[i]! * b[i]!
  return sum
}
