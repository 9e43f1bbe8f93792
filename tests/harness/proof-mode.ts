/**
 * How many simulations a statistical test makes: few in `npm test`, many in `npm run proof:tests`.
 *
 * A test's bound follows its number (see `leastShare`), so both can fail.
 */
export function howMany(quick: number, long: number): number {
  return process.env.TABLEPACE_SIMULATIONS === 'long' ? long : quick
}

/** The smallest share that a true coverage may come to in so many independent runs: two standard errors below, binomial. */
export function leastShare(coverage: number, runs: number): number {
  return coverage - 2 * Math.sqrt((coverage * (1 - coverage)) / runs)
}
