import { factorInPlace, solveLowerInPlace, solveUpperInPlace } from '../../numbers/index.js'

/**
 * What runs tell of effects that they share, of their session or their travel, on the log feed: normal equations, the means
 * of the marks projected out.
 */
export interface EffectEquations {
  /** Row by row. */
  readonly precision: Float64Array
  readonly product: Float64Array
}

/** Effects as the runs tell them. */
export interface EffectsOfSize {
  readonly effect: Float64Array
  /** Row by row. */
  readonly covariance: Float64Array
}

/**
 * Logarithm of the density of the runs where the effects are normal about 0 with a standard deviation of `size`, with them
 * integrated out; without what does not depend on the size (D. V. Lindley, A. F. M. Smith, J. R. Stat. Soc. B 34 (1972) 1-41).
 */
export function logDensityOfSize(equations: EffectEquations, size: number): number {
  const { factor, whitened } = solvedFor(equations, size)
  const n = whitened.length
  let sum = -n * Math.log(size)
  for (let i = 0; i < n; i++) sum += 0.5 * whitened[i]! ** 2 - Math.log(factor[i * n + i]!)
  return sum
}

/** Mean and covariance of the effects where their size is known. */
export function effectsOfSize(equations: EffectEquations, size: number): EffectsOfSize {
  const { factor, whitened: effect } = solvedFor(equations, size)
  const n = effect.length
  solveUpperInPlace(factor, n, effect)
  const covariance = new Float64Array(n * n)
  for (let i = 0; i < n; i++) {
    const column = covariance.subarray(i * n, (i + 1) * n)
    column[i] = 1
    solveLowerInPlace(factor, n, column)
    solveUpperInPlace(factor, n, column)
  }
  return { effect, covariance }
}

function solvedFor({ precision, product }: EffectEquations, size: number) {
  const n = product.length
  const factor = precision.slice()
  for (let i = 0; i < n; i++) factor[i * n + i] = factor[i * n + i]! + 1 / size ** 2
  factorInPlace(factor, n)
  const whitened = product.slice()
  solveLowerInPlace(factor, n, whitened)
  return { factor, whitened }
}
