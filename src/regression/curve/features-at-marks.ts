/**
 * Corners and stretches as the marks see them, where everything else of a curve is taken out: the direction in which each
 * moves the marks at unit size, that direction whitened, its square, and its product with what is measured. Rows of one
 * block, because there are a hundred thousand of them in a fit.
 */
export interface FeaturesAtMarks {
  readonly count: number
  readonly directions: Float64Array
  readonly white: Float64Array
  readonly squares: Float64Array
  readonly products: Float64Array
}

export function featuresAtMarks(directions: readonly (readonly number[])[]): FeaturesAtMarks {
  const all = Float64Array.from(directions.flat())
  return {
    count: directions.length,
    directions: all,
    white: new Float64Array(all.length),
    squares: new Float64Array(directions.length),
    products: new Float64Array(directions.length),
  }
}

/**
 * Solves for every direction as `solveLowerInPlace` does for one.
 * @param factor Cholesky factor of the covariance of the marks without these features
 * @param whitened what is measured, solved for
 */
export function whitenFeatures(
  { count, directions, white, squares, products }: FeaturesAtMarks,
  factor: Float64Array,
  whitened: Float64Array,
): void {
  const n = whitened.length
  for (let k = 0, row = 0; k < count; k++, row += n) {
    let square = 0
    let product = 0
    for (let i = 0; i < n; i++) {
      let sum = directions[row + i]!
      for (let j = 0; j < i; j++) sum -= factor[i * n + j]! * white[row + j]!
      const value = sum / factor[i * n + i]!
      white[row + i] = value
      square += value * value
      product += value * whitened[i]!
    }
    squares[k] = square
    products[k] = product
  }
}

/** What a feature of unit variance adds to the log likelihood of the marks: the matrix determinant lemma. */
export function logGainOfOne({ squares, products }: FeaturesAtMarks, k: number): number {
  const gain = 1 + squares[k]!
  return 0.5 * (products[k]! ** 2 / gain - Math.log(gain))
}

/** What two features add: Sylvester's determinant and the solution of two equations. */
export function logGainOfTwo(
  { count, white, squares, products }: FeaturesAtMarks,
  a: number,
  b: number,
): number {
  const n = white.length / count
  let cross = 0
  for (let i = 0; i < n; i++) cross += white[a * n + i]! * white[b * n + i]!
  const ofA = 1 + squares[a]!
  const ofB = 1 + squares[b]!
  const forA = products[a]!
  const forB = products[b]!
  const determinant = ofA * ofB - cross ** 2
  const better = (ofB * forA ** 2 - 2 * cross * forA * forB + ofA * forB ** 2) / determinant
  return 0.5 * (better - Math.log(determinant))
}
