// Not through the doors: a lookup at the machine loads this.
import {
  factorInPlace,
  normalLogDensity,
  solveLowerInPlace,
  solveUpperInPlace,
} from '../../numbers/cholesky.js'
import type { NormalPart } from '../../numbers/mixture-quantile.js'

/**
 * Degrees of freedom of the half-t prior of the day effect, the relative standard deviation from session to session of
 * what all feeds of a machine have in common (A. Gelman, Bayesian Analysis 1 (2006) 515-534: the half-t family for the
 * standard deviation of a level with few groups).
 *
 * Two, so that both measured motors are at home in it: of `fixtures/open-data` the steadier one has 0.74 % a session,
 * in the middle of this prior, and both together 4.5 %, at its end (see the scale). With one degree, the half-Cauchy,
 * and the same end half of all drives would be steadier than 0.2 %, which no measured one is, and a check run would be
 * taken for scatter: with a day effect of 1 % today's mean was then held in 91 % even where the scatter is known exactly.
 */
export const DAY_DEGREES = 2

/**
 * Scale of that prior. The two measured motors, geared and on a battery, with nothing to hold their speed, differ
 * between two sessions by 6.3 % (root mean square over both motors and directions), which is a standard deviation of
 * 4.5 % a session. They stand for the worst of drives, so that 97.5 % of the prior lies below: 0.045 over the 98.75 %
 * point of Student's t with 2 degrees, 6.205, is 0.00725. Drives that follow their mains agree: 95 % of the supply
 * voltage lies within ±10 % (EN 50160, from memory), which is 5 %.
 */
export const DAY_SCALE = 0.00725

/**
 * Scale of the prior for a day that runs were made on: its feeds are told by those runs, and the prior only weighs them
 * against the scatter. Its median, 0.8165 of the scale, is the geometric middle of the two measured motors, √(0.74 % · 4.5
 * %) = 1.8 %, so that neither is taken for the other. With the narrower prior of any day a drive that wanders by 2 % or 4.5 % a
 * day was held in 90 and 87 % after one check run; with this one in 93 to 96 % at every size (`scripts/proofs/days.js`).
 */
export const SEEN_DAY_SCALE = 0.02235

/**
 * Day effects tried, geometric. Judgement: smaller ones do not show, larger ones are no drive; the prior leaves 1
 * % outside.
 */
const DAY_GRID = { from: 0.0002, to: 0.25, count: 24 }

/** One possible size of the day effect, relative standard deviation, and how probable it is. */
export interface DaySize {
  readonly dayRelative: number
  readonly weight: number
}

/** The prior of the day effect on a grid; weights sum to 1. */
export function dayPrior(): DaySize[] {
  const { from, to, count } = DAY_GRID
  const sizes = Array.from({ length: count }, (_, k) => from * (to / from) ** (k / (count - 1)))
  // Over the logarithm of the size the density is that over the size times the size.
  return summingToOne(
    sizes.map((dayRelative) => ({ dayRelative, weight: dayRelative * halfT(dayRelative, DAY_SCALE) })),
  )
}

/** Density of the half-t prior, but for a constant. */
function halfT(dayRelative: number, scale: number): number {
  return (1 + (dayRelative / scale) ** 2 / DAY_DEGREES) ** (-(DAY_DEGREES + 1) / 2)
}

/** How the runs of one session differ from a table, all together. */
export interface SessionShift {
  readonly session: string
  /** Logarithm of the session's feeds over the table's. */
  readonly logShift: number
  /** Variance of it by the scatter and reading of the session's own runs. */
  readonly ownVariance: number
  /** Standard uncertainties of the table's feeds that went into it, by the place on the table: other sessions share them. */
  readonly tableErrors: ReadonlyMap<string, number>
}

/** What is known of the days of a machine beside one table; parts are of the logarithm of a feed over the table's. */
export interface DayKnowledge {
  readonly sizes: readonly DaySize[]
  /** The day effect of a session that no run was made in. */
  readonly anyDay: readonly NormalPart[]
  /** The mean of all days: as any day, without that day's own effect. */
  readonly meanOfDays: readonly NormalPart[]
  /** As any day, with the prior of a day that runs are made on. */
  readonly dayToSee: readonly NormalPart[]
  /** The day effect of a session; that of any day for one without runs. */
  readonly of: (session: string) => readonly NormalPart[]
}

/** Probability below which a size is left out. Derived: all 24 together come to less than 3e-4. */
const NEGLIGIBLE = 1e-5

/**
 * What sessions tell of the day effect. Each session has an effect on the logarithm of all feeds, normal with a common
 * standard deviation, whose prior is a half-t; the table stands for the mean of its own sessions. For every size of
 * the effect the sessions' shifts are jointly normal, so that they weigh the sizes by their density and give each effect
 * its mean and variance (A. Gelman and others, Bayesian Data Analysis, 3rd ed., 2013, section 5.4).
 *
 * @param shifts of sessions against the table, also of the table's own where it has several
 * @param tableShares what each session counts for in the table, summing to 1
 */
export function learnDays(
  shifts: readonly SessionShift[],
  tableShares: ReadonlyMap<string, number>,
): DayKnowledge {
  const shareOf = (session: string) => tableShares.get(session) ?? 0
  const squares = [...tableShares.values()].reduce((sum, share) => sum + share * share, 0)
  // Covariance of two effects, each less that of the table, in units of the variance of a day effect.
  const between = (a: string | null, b: string | null) =>
    (a !== null && a === b ? 1 : 0) - (a === null ? 0 : shareOf(a)) - (b === null ? 0 : shareOf(b)) + squares
  const errors = errorCovariance(shifts)
  const sessions = [...new Set([...shifts.map(({ session }) => session), ...tableShares.keys()])]
  const targets = [
    // A session that has no run, the mean of all days, then the sessions.
    { variance: 1 + squares, withShift: (s: SessionShift) => between(null, s.session) },
    { variance: squares, withShift: (s: SessionShift) => between(null, s.session) },
    ...sessions.map((session) => ({
      variance: between(session, session),
      withShift: (s: SessionShift) => between(session, s.session),
    })),
  ]
  const weighed = dayPrior().map((size) => {
    const variance = size.dayRelative ** 2
    const n = shifts.length
    const factor = new Float64Array(n * n)
    for (let i = 0; i < n; i++)
      for (let j = 0; j < n; j++)
        factor[i * n + j] = variance * between(shifts[i]!.session, shifts[j]!.session) + errors[i]![j]!
    factorInPlace(factor, n)
    const whitened = Float64Array.from(shifts, ({ logShift }) => logShift)
    solveLowerInPlace(factor, n, whitened)
    const logWeight = Math.log(size.weight) + normalLogDensity(factor, whitened)
    const solved = whitened.slice()
    solveUpperInPlace(factor, n, solved)
    const found = targets.map((target) => {
      const covariances = Float64Array.from(shifts, (s) => variance * target.withShift(s))
      const mean = covariances.reduce((sum, covariance, i) => sum + covariance * solved[i]!, 0)
      solveLowerInPlace(factor, n, covariances)
      const explained = covariances.reduce((sum, one) => sum + one * one, 0)
      return { mean, variance: Math.max(0, variance * target.variance - explained) }
    })
    return { dayRelative: size.dayRelative, logWeight, found }
  })
  const likely = mostLikely(weighed)
  const seen = mostLikely(
    weighed.map((one) => {
      const { dayRelative, logWeight } = one
      const odds = halfT(dayRelative, SEEN_DAY_SCALE) / halfT(dayRelative, DAY_SCALE)
      return { ...one, logWeight: logWeight + Math.log(odds) }
    }),
  )
  const partsOf = (from: typeof likely, index: number): NormalPart[] =>
    from.map(({ weight, found }) => ({ weight, ...found[index]! }))
  const anyDay = partsOf(likely, 0)
  return {
    sizes: likely.map(({ dayRelative, weight }) => ({ dayRelative, weight })),
    anyDay,
    meanOfDays: partsOf(likely, 1),
    dayToSee: partsOf(seen, 0),
    of: (session) => {
      const index = sessions.indexOf(session)
      return index < 0 ? anyDay : partsOf(seen, 2 + index)
    },
  }
}

/** Weights of sizes from their logarithms; what is hardly possible is left out. */
function mostLikely<S extends { readonly logWeight: number }>(
  sizes: readonly S[],
): (S & { readonly weight: number })[] {
  const largest = Math.max(...sizes.map(({ logWeight }) => logWeight))
  return summingToOne(
    sizes
      .map((size) => ({ ...size, weight: Math.exp(size.logWeight - largest) }))
      .filter(({ weight }) => weight > NEGLIGIBLE),
  )
}

function errorCovariance(shifts: readonly SessionShift[]): number[][] {
  return shifts.map((a, i) =>
    shifts.map((b, j) => {
      let shared = 0
      for (const [place, error] of a.tableErrors) shared += error * (b.tableErrors.get(place) ?? 0)
      return i === j ? a.ownVariance + shared : shared
    }),
  )
}

/** The parts with weights that sum to 1. */
export function summingToOne<P extends { readonly weight: number }>(parts: readonly P[]): P[] {
  const total = parts.reduce((sum, { weight }) => sum + weight, 0)
  return parts.map((part) => ({ ...part, weight: part.weight / total }))
}
