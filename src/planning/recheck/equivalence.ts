/** What two one-sided tests came to. */
interface OneSidedTests {
  /** Probability of a difference this large or larger if the true one lay at the lower limit. */
  readonly pLower: number
  /** Probability of a difference this small or smaller if the true one lay at the upper limit. */
  readonly pUpper: number
}

/**
 * Two one-sided tests: a difference is shown to lie between two limits where both probabilities are at or below the
 * level, which is where the (1 - 2·level) interval of the difference lies between them (D. J. Schuirmann, J.
 * Pharmacokinetics and Biopharmaceutics 15 (1987) 657-680). That a difference is not significant shows nothing.
 *
 * @param upperTail probability that the error of the difference is larger than its argument; symmetric about zero
 * @example twoOneSidedTests({ difference: 0, low: -2, high: 2, upperTail: (x) => 1 - normalCdf(x) }) // both 0.023
 */
export function twoOneSidedTests(test: {
  readonly difference: number
  readonly low: number
  readonly high: number
  readonly upperTail: (error: number) => number
}): OneSidedTests {
  return {
    pLower: test.upperTail(test.difference - test.low),
    pUpper: test.upperTail(test.high - test.difference),
  }
}
