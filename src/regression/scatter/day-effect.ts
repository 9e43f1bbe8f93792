// Not through the doors: a lookup at the machine loads this.
import {
  factorInPlace,
  normalLogDensity,
  solveLowerInPlace,
  solveUpperInPlace,
} from '../../numbers/cholesky.js'
import { dot } from '../../numbers/dot.js'
import type { NormalPart } from '../../numbers/mixture-quantile.js'
import type { Direction } from '../../traverse/index.js'
import { DAY_SCALE, type DaySize, dayPrior, halfT, type LostSize, SEEN_DAY_SCALE } from './day-prior.js'
import { summingToOne } from './size-grid.js'

/** Days that move all feeds by one factor alone. */
const NONE_LOST: readonly LostSize[] = [{ lostRelative: 0, weight: 1 }]

/** How the runs of one session differ from a table, all together. */
export interface SessionShift {
  readonly session: string
  /** Logarithm of the session's feeds over the table's. */
  readonly logShift: number
  /** Variance of it by the scatter and reading of the session's own runs. */
  readonly ownVariance: number
  /** Standard uncertainties of the table's feeds that went into it, by the place on the table: other sessions share them. */
  readonly tableErrors: ReadonlyMap<string, number>
  /** How much of what the day loses of all feeds alike is in it, and in which direction; left out: nothing. */
  readonly lost?: { readonly direction: Direction; readonly slowness: number }
}

/**
 * The effect of a day, for one size of it. As a normal distribution it is what all feeds have in common; at a setting it is
 * that and, times the setting's slowness, what the day loses of all feeds alike.
 */
export interface DayPart extends NormalPart {
  /** Variance of what a setting without a run is moved by itself, beside all that. */
  readonly placeVariance: number
  readonly lost: Readonly<Record<Direction, LostPart>>
}

/** What a day loses of all feeds alike in one direction, as a share of the fastest. */
interface LostPart {
  readonly mean: number
  readonly variance: number
  /** With what all feeds have in common. */
  readonly covariance: number
}

/** What is known of the days of a machine beside one table; parts are of the logarithm of a feed over the table's. */
export interface DayKnowledge {
  readonly sizes: readonly DaySize[]
  /** The day effect of a session that no run was made in. */
  readonly anyDay: readonly DayPart[]
  /** The mean of all days: as any day, without that day's own effect. */
  readonly meanOfDays: readonly DayPart[]
  /** As any day, with the prior of a day that runs are made on. */
  readonly dayToSee: readonly DayPart[]
  /** The day effect of a session; that of any day for one without runs. */
  readonly of: (session: string) => readonly DayPart[]
}

const NOTHING_LOST: LostPart = { mean: 0, variance: 0, covariance: 0 }
const NO_EFFECT: readonly DayPart[] = [
  { weight: 1, mean: 0, variance: 0, placeVariance: 0, lost: { 1: NOTHING_LOST, [-1]: NOTHING_LOST } },
]

/** Probability below which a size is left out. Derived: all 192 together come to less than 2e-3. */
const NEGLIGIBLE = 1e-5

/** Whose effect is asked for, and its variance in units of that of one day. */
interface Target {
  readonly session: string | null
  readonly variance: number
}

/**
 * What sessions tell of the day effect. Each session has an effect on the logarithm of all feeds, normal with a common
 * standard deviation, whose prior is a half-t; the table stands for the mean of its own sessions. Beside it a session may
 * lose or gain a feed alike at all settings, as where the dead band of the drive or its friction changes. For every size
 * of the effects the sessions' shifts are jointly normal, so that they weigh the sizes by their density and give each
 * effect its mean and variance (A. Gelman and others, Bayesian Data Analysis, 3rd ed., 2013, section 5.4).
 *
 * @param shifts of sessions against the table, also of the table's own where it has several
 * @param tableShares what each session counts for in the table, summing to 1
 * @param lostSizes the prior of what a session loses of all feeds alike; left out: nothing
 * @param placeVariance of what any other session moves each setting by itself, against the table's marks; left out: nothing
 */
export function learnDays(
  shifts: readonly SessionShift[],
  tableShares: ReadonlyMap<string, number>,
  lostSizes: readonly LostSize[] = NONE_LOST,
  placeVariance = 0,
): DayKnowledge {
  const shareOf = (session: string) => tableShares.get(session) ?? 0
  const squares = [...tableShares.values()].reduce((sum, share) => sum + share * share, 0)
  // Covariance of two effects, each less that of the table, in units of the variance of a day effect.
  const between = (a: string | null, b: string | null) =>
    (a !== null && a === b ? 1 : 0) - (a === null ? 0 : shareOf(a)) - (b === null ? 0 : shareOf(b)) + squares
  const n = shifts.length
  const pairs = (of: (a: SessionShift, b: SessionShift) => number) =>
    shifts.flatMap((a) => shifts.map((b) => of(a, b)))
  const covariances = {
    errors: Float64Array.from(pairs(errorCovariance)),
    common: Float64Array.from(pairs((a, b) => between(a.session, b.session))),
    lost: Float64Array.from(pairs((a, b) => bothLost(a, b) * between(a.session, b.session))),
  }
  const logShifts = shifts.map(({ logShift }) => logShift)
  const weighed = dayPrior().flatMap((size) =>
    lostSizes.map((lostSize) => weigh(logShifts, covariances, size, lostSize)),
  )
  const likely = mostLikely(weighed)
  let seen: Likely[] | undefined
  const likelyAsSeen = () => {
    seen ??= mostLikely(
      weighed.map((one) => {
        const { dayRelative, logWeight } = one
        const odds = halfT(dayRelative, SEEN_DAY_SCALE) / halfT(dayRelative, DAY_SCALE)
        return { ...one, logWeight: logWeight + Math.log(odds) }
      }),
    )
    return seen
  }
  const sessions = new Set([...shifts.map(({ session }) => session), ...tableShares.keys()])
  const anyDay = effectOf({ session: null, variance: 1 + squares }, likely)
  return {
    sizes: likely.map(({ dayRelative, weight }) => ({ dayRelative, weight })),
    anyDay,
    meanOfDays: effectOf({ session: null, variance: squares }, likely),
    get dayToSee() {
      return effectOf({ session: null, variance: 1 + squares }, likelyAsSeen())
    },
    of: (session) => {
      if (!sessions.has(session)) return anyDay
      // The table stands for its only session, whatever that was like.
      if (shareOf(session) === 1) return NO_EFFECT
      return effectOf({ session, variance: between(session, session) }, likelyAsSeen())
    },
  }

  function effectOf(target: Target, sizes: readonly Likely[]): DayPart[] {
    const withTarget = shifts.map(({ session }) => between(target.session, session))
    // The marks stand for the mean of their sessions here too.
    const ofPlace = { placeVariance: (placeVariance * target.variance) / (1 + squares) }
    return sizes.map(({ weight, day, loss, factor, solved }) => {
      if (n === 0) {
        const lost = { mean: 0, variance: loss * target.variance, covariance: 0 }
        return { weight, mean: 0, variance: day * target.variance, ...ofPlace, lost: { 1: lost, [-1]: lost } }
      }
      const among = (size: number, share: (shift: SessionShift) => number) => {
        const whitened = Float64Array.from(shifts, (shift, k) => size * share(shift) * withTarget[k]!)
        const mean = dot(whitened, solved)
        solveLowerInPlace(factor, n, whitened)
        return { mean, whitened, variance: Math.max(0, size * target.variance - dot(whitened, whitened)) }
      }
      const ofAll = among(day, () => 1)
      const lostIn = (direction: Direction): LostPart => {
        if (loss === 0) return NOTHING_LOST
        const { mean, whitened, variance } = among(loss, ({ lost }) =>
          lost?.direction === direction ? lost.slowness : 0,
        )
        return { mean, variance, covariance: -dot(ofAll.whitened, whitened) }
      }
      return {
        weight,
        mean: ofAll.mean,
        variance: ofAll.variance,
        ...ofPlace,
        lost: { 1: lostIn(1), [-1]: lostIn(-1) },
      }
    })
  }
}

/** Sizes of the effects, and how well they go with the shifts. */
interface Weighed {
  /** Variances of what all feeds have in common, and of what is lost of all of them alike. */
  readonly day: number
  readonly loss: number
  /** Lower triangle of the shifts' covariance, and its inverse times the shifts. */
  readonly factor: Float64Array
  readonly solved: Float64Array
}

type Likely = Weighed & DaySize

/** How any two shifts go together, all pairs row by row. */
interface Covariances {
  /** By their own errors and those of the table. */
  readonly errors: Float64Array
  /** By what all feeds have in common, and by what is lost of all of them alike, each in units of its variance. */
  readonly common: Float64Array
  readonly lost: Float64Array
}

/**
 * How well two sizes of the effects go with the shifts. Mostly there are none: hundreds of empty arrays would delay a lookup.
 */
function weigh(
  logShifts: readonly number[],
  { errors, common, lost }: Covariances,
  { dayRelative, weight }: DaySize,
  size: LostSize,
) {
  const sizes = { dayRelative, day: dayRelative ** 2, loss: size.lostRelative ** 2 }
  const logPrior = Math.log(weight * size.weight)
  if (logShifts.length === 0) return { ...sizes, factor: errors, solved: errors, logWeight: logPrior }
  const factor = errors.map((error, k) => error + sizes.day * common[k]! + sizes.loss * lost[k]!)
  factorInPlace(factor, logShifts.length)
  const solved = Float64Array.from(logShifts)
  solveLowerInPlace(factor, logShifts.length, solved)
  const logWeight = logPrior + normalLogDensity(factor, solved)
  solveUpperInPlace(factor, logShifts.length, solved)
  return { ...sizes, factor, solved, logWeight }
}

/** How much of what one of the directions loses two shifts share. */
function bothLost({ lost: a }: SessionShift, { lost: b }: SessionShift): number {
  return a !== undefined && b !== undefined && a.direction === b.direction ? a.slowness * b.slowness : 0
}

/** Weights of sizes from their logarithms; what is hardly possible is left out. */
function mostLikely<S extends { readonly logWeight: number }>(
  sizes: readonly S[],
): (S & { readonly weight: number })[] {
  const largest = Math.max(...sizes.map(({ logWeight }) => logWeight))
  return summingToOne(
    sizes.flatMap((size) => {
      const weight = Math.exp(size.logWeight - largest)
      return weight > NEGLIGIBLE ? [{ ...size, weight }] : []
    }),
  )
}

/** Covariance of the errors of two shifts: their own, and those of the table that both share. */
function errorCovariance(a: SessionShift, b: SessionShift): number {
  let shared = a === b ? a.ownVariance : 0
  for (const [place, error] of a.tableErrors) shared += error * (b.tableErrors.get(place) ?? 0)
  return shared
}
