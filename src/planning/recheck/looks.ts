import { normalCdf, normalQuantile } from '../../numbers/index.js'

/**
 * What each look at one question may spend of the 5 % in all, first look first: a recheck that goes on after `undecided`
 * looks again at runs it has looked at before, and every look is one more chance to be wrong. Judgement: half goes to the
 * first look, where most rechecks end, and less and less to the next.
 */
const SPENDING = [0.025, 0.0125, 0.0075, 0.005] as const

/** Looks at one question: after these there is nothing left to spend. */
export const MOST_LOOKS = SPENDING.length

/**
 * How well the estimates of one look and the next agree, for each look after the first: their correlation, from 0 to 1.
 * It is the root of the variance that is left over the variance before, for the second look holds the runs of the first.
 */
export type Agreements = readonly number[]

/** Level of a one-sided test at a look, for a test that may spend this share of what the look may. */
export type LookLevel = (share: number) => number

/**
 * Correlations are rounded down to steps of this, and to the highest: on the safe side, and limits are found once for all
 * rechecks that are alike. Judgement: a step moves a level by a fiftieth, and above the highest no later look is stricter
 * than the first.
 */
const STEP = 0.01
const HIGHEST = 0.99
/** Standard deviations of the grid below zero. Derived: 6 leave out 1e-9. */
const REACH = 6
/** Points of the grid. Derived: steps of a third of the narrowest density from look to look, √(1 − 0.99²). */
const POINTS = 200
/** Halvings of the search for a limit. Derived: 12 standard deviations down to 1e-8. */
const HALVINGS = 30

/**
 * Levels of the newest of some looks at one question, each with the runs of those before: a group-sequential boundary
 * by error spending (K. K. G. Lan, D. L. DeMets, Biometrika 70 (1983) 659-663). What a look may spend is fixed beforehand;
 * at which level it tests follows from how much the looks agree, as the probability to cross the limit at this look and
 * at none before, worked out from look to look by numerical integration (P. Armitage, C. K. McPherson, B. C. Rowe, J. R.
 * Statistical Society A 132 (1969) 235-244). Looks that have nothing in common come to the plain sum of Bonferroni; where
 * an error is shared, as that of the table and of its day is, the later ones may be less strict than that. None is laxer
 * than the first, so that what a verdict says always agrees with the 95 % interval that is shown.
 *
 * @param agreements of each look with the one before; none for the first look
 */
export function lookLevel(agreements: Agreements): LookLevel {
  const rounded = agreements
    .slice(0, MOST_LOOKS - 1)
    .map((one) => Math.min(HIGHEST, Math.max(0, Math.floor(one / STEP + 1e-9) * STEP)))
  return (share) => Math.min(share * SPENDING[0], normalCdf(-limitOf(rounded, share)))
}

/** Limits that were found before, by looks and share. */
const found = new Map<string, number>()

function limitOf(agreements: Agreements, share: number): number {
  const key = `${share};${agreements.map((one) => one.toFixed(2)).join(',')}`
  const before = found.get(key)
  if (before !== undefined) return before
  const limit = findLimit(agreements, share)
  found.set(key, limit)
  return limit
}

function findLimit(agreements: Agreements, share: number): number {
  let limit = -normalQuantile(share * SPENDING[0])
  let density = densityBelow(limit, (z) => Math.exp((-z * z) / 2) / Math.sqrt(2 * Math.PI))
  for (const [k, correlation] of agreements.entries()) {
    const before = density
    const rest = Math.sqrt(1 - correlation ** 2)
    limit = limitFor(share * SPENDING[k + 1]!, (z) =>
      before.sum((at) => normalCdf((correlation * at - z) / rest)),
    )
    if (k + 1 === agreements.length) break
    density = densityBelow(limit, (z) =>
      before.sum((at) => {
        const off = (z - correlation * at) / rest
        return Math.exp((-off * off) / 2) / (rest * Math.sqrt(2 * Math.PI))
      }),
    )
  }
  return limit
}

/** Of an estimate in standard deviations, below the limit that it has not crossed; by the trapezoidal rule. */
function densityBelow(limit: number, density: (z: number) => number) {
  const step = (limit + REACH) / (POINTS - 1)
  const places = Float64Array.from({ length: POINTS }, (_, i) => -REACH + i * step)
  const weights = places.map((z, i) => density(z) * step * (i === 0 || i === POINTS - 1 ? 0.5 : 1))
  return {
    sum: (of: (z: number) => number): number => {
      let sum = 0
      for (let i = 0; i < POINTS; i++) sum += weights[i]! * of(places[i]!)
      return sum
    },
  }
}

function limitFor(probability: number, crossing: (z: number) => number): number {
  let [low, high] = [-REACH, REACH]
  for (let k = 0; k < HALVINGS; k++) {
    const middle = (low + high) / 2
    if (crossing(middle) > probability) low = middle
    else high = middle
  }
  return high
}
