/** Limits of a control chart of single values. */
interface IndividualsLimits {
  readonly mean: number
  /** Mean of the absolute steps from one value to the next. */
  readonly meanMovingRange: number
  /** Standard deviation that the steps tell of, free of slow drift. */
  readonly standardDeviation: number
  readonly lower: number
  readonly upper: number
}

/**
 * Mean range of two values of a normal distribution over its standard deviation, d₂: 2/√π = 1.12838 exactly
 * (NIST/SEMATECH e-Handbook of Statistical Methods, 6.3.2, gives 1.128).
 */
const D2_OF_TWO = 1.128

/**
 * Control limits of single values from their moving range: mean ± 3·(mean moving range)/d2 (W. A. Shewhart's chart of
 * individuals, NIST/SEMATECH e-Handbook of Statistical Methods, 6.3.2.2).
 *
 * @param values in the order of time
 * @throws RangeError for fewer than two values
 * @example individualsLimits([49.6, 47.6, 49.9]).meanMovingRange // 2.15
 */
export function individualsLimits(values: readonly number[], d2 = D2_OF_TWO): IndividualsLimits {
  if (values.length < 2) throw new RangeError(`a moving range needs two values, got ${values.length}`)
  const mean = values.reduce((sum, value) => sum + value, 0) / values.length
  const steps = values.slice(1).map((value, i) => Math.abs(value - values[i]!))
  const meanMovingRange = steps.reduce((sum, step) => sum + step, 0) / steps.length
  const standardDeviation = meanMovingRange / d2
  return {
    mean,
    meanMovingRange,
    standardDeviation,
    lower: mean - 3 * standardDeviation,
    upper: mean + 3 * standardDeviation,
  }
}
