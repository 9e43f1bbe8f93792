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
 * Solves for every direction as `solveLowerInPlace` does for one; four at a time, because one alone waits for each of its own
 * subtractions.
 *
 * @param factor Cholesky factor of the covariance of the marks without these features
 * @param whitened what is measured, solved for
 */
export function whitenFeatures(
  { count, directions, white, squares, products }: FeaturesAtMarks,
  factor: Float64Array,
  whitened: Float64Array,
): void {
  const n = whitened.length
  // The last four begin so early that they are four.
  const last = Math.max(0, count - 4)
  for (let from = 0; from < count; from = from < last ? Math.min(last, from + 4) : count) {
    const first = from * n
    const second = Math.min(count - 1, from + 1) * n
    const third = Math.min(count - 1, from + 2) * n
    const fourth = Math.min(count - 1, from + 3) * n
    for (let i = 0; i < n; i++) {
      let ofFirst = directions[first + i]!
      let ofSecond = directions[second + i]!
      let ofThird = directions[third + i]!
      let ofFourth = directions[fourth + i]!
      for (let j = 0, at = i * n; j < i; j++, at++) {
        const share = factor[at]!
        ofFirst -= share * white[first + j]!
        ofSecond -= share * white[second + j]!
        ofThird -= share * white[third + j]!
        ofFourth -= share * white[fourth + j]!
      }
      const pivot = factor[i * n + i]!
      white[first + i] = ofFirst / pivot
      white[second + i] = ofSecond / pivot
      white[third + i] = ofThird / pivot
      white[fourth + i] = ofFourth / pivot
    }
  }
  for (let k = 0, row = 0; k < count; k++, row += n) {
    let square = 0
    let product = 0
    for (let i = 0; i < n; i++) {
      const value = white[row + i]!
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
