/**
 * Logarithm of a sum of numbers that are given by their logarithms, without leaving the range of doubles: the largest
 * is taken out before anything is raised (common practice, "log-sum-exp", no source).
 *
 * @param logs natural logarithms, −∞ for a zero
 * @returns −∞ for no numbers, and where all of them are zero
 * @example logSum([-1000, -1000]) // -999.307, which is -1000 + ln 2
 */
export function logSum(logs: readonly number[]): number {
  const largest = logs.reduce((most, log) => Math.max(most, log), Number.NEGATIVE_INFINITY)
  if (largest === Number.NEGATIVE_INFINITY) return largest
  return largest + Math.log(logs.reduce((sum, log) => sum + Math.exp(log - largest), 0))
}
