import { factorInPlace, logSum, normalLogDensity, solveLowerInPlace } from '../../numbers/index.js'
import { asPercent, covariancesOf, type Differences, type MarkDifference } from './mark-differences.js'

/** What may have moved: one factor for all feeds, the knob on its shaft, or the shape of the dial curve. */
type Cause = 'scale' | 'offset' | 'shape'

/** An amount and where it lies. */
export interface Amount {
  readonly value: number
  readonly standardUncertainty: number
  readonly interval95: readonly [number, number]
}

export interface CauseFound {
  /** Null where the runs do not tell two causes apart. */
  readonly cause: Cause | null
  /** How probable each is, with equal prior probabilities; they sum to 1. `offset` is 0 on a stepped dial. */
  readonly probability: Readonly<Record<Cause, number>>
  /** Logarithm of the factor, if it is one factor. */
  readonly logScale: Amount
  /** Dial units by which the knob now stands higher than its number, if it turned; null on a stepped dial. */
  readonly offset: Amount | null
}

/**
 * Probability from which on a cause is named. Judgement: odds of three to one, *positive* evidence (R. E. Kass, A.
 * E. Raftery 1995); below, more runs are asked for at the mark that tells two causes apart.
 */
const SURE_ENOUGH = 0.75

/**
 * Relative difference below which there is none. Derived: a hundredth of the best interval of a mark; it keeps the
 * guess of the size above 0.
 */
const LEAST_CHANGE = 1e-4

/**
 * How the log feed of each mark changes when the knob gives the feed of `offset` dial units further on, and with what
 * variance that is known: between its marks a curve is less sure than at them.
 */
export type FeedShift = (offset: number) => readonly {
  readonly change: number
  readonly variance: number
}[]

/**
 * Which change explains the differences, by how probable each makes them (Bayes factors: R. E. Kass, A. E. Raftery, J.
 * American Statistical Association 90 (1995) 773-795). The priors of a factor, of an offset and of a change of each mark
 * by itself are normal, with a standard deviation as large as the differences are, so that none is favoured by its size.
 *
 * @param shift null where the dial cannot turn on its shaft, on a stepped dial
 */
export function findCause(
  differences: Differences,
  shift: FeedShift | null,
  slopes: readonly number[],
): CauseFound {
  const { marks } = differences
  const size = Math.max(LEAST_CHANGE, rootMeanSquare(marks.map((mark) => mark.difference)))
  const likelihood = errorLikelihood(differences)
  const values = marks.map((mark) => mark.difference)
  const scale = amountBy((factor) => likelihood(values.map((one) => one - factor)), size)
  const slopeSize = rootMeanSquare(slopes)
  const offset =
    shift === null || !(slopeSize > 0)
      ? null
      : amountBy((turn) => {
          const shifted = shift(turn)
          return likelihood(
            values.map((one, i) => one - shifted[i]!.change),
            shifted.map(({ variance }) => variance),
          )
        }, size / slopeSize)
  const logEvidence: Record<Cause, number> = {
    scale: scale.logEvidence,
    offset: offset?.logEvidence ?? Number.NEGATIVE_INFINITY,
    shape: likelihood(
      values,
      values.map(() => size ** 2),
    ),
  }
  const causes = Object.keys(logEvidence) as Cause[]
  const total = logSum(causes.map((cause) => logEvidence[cause]))
  const probability = Object.fromEntries(
    causes.map((cause) => [cause, Math.exp(logEvidence[cause] - total)]),
  ) as Record<Cause, number>
  return {
    cause: causes.find((cause) => probability[cause] >= SURE_ENOUGH) ?? null,
    probability,
    logScale: scale.amount,
    offset: offset?.amount ?? null,
  }
}

/** A factor's logarithm as percent. */
export function amountAsPercent({ value, interval95: [low, high] }: Amount): {
  readonly value: number
  readonly interval95: readonly [number, number]
} {
  return { value: asPercent(value), interval95: [asPercent(low), asPercent(high)] }
}

/**
 * Logarithm of the density of errors of the marks, mixed over the scatters, but for a constant that is always the same;
 * with variances that each mark has besides, for itself.
 */
function errorLikelihood({
  marks,
  posterior,
}: Differences): (errors: readonly number[], extraVariances?: readonly number[]) => number {
  const size = marks.length
  const covariancesFor = covariancesOf(marks)
  const parts = posterior.points.map((point) => {
    const covariance = covariancesFor(point)
    const factor = covariance.slice()
    factorInPlace(factor, size)
    return { logWeight: Math.log(point.weight), covariance, factor }
  })
  // Room that is used again: a recheck asks for the density at some hundred places.
  const widened = new Float64Array(size * size)
  const whitened = new Float64Array(size)
  return (errors, extraVariances = []) => {
    const widens = extraVariances.some((variance) => variance !== 0)
    return logSum(
      parts.map(({ logWeight, covariance, factor }) => {
        if (widens) {
          widened.set(covariance)
          for (let i = 0, at = 0; i < size; i++, at += size + 1)
            widened[at] = widened[at]! + extraVariances[i]!
          factorInPlace(widened, size)
        }
        whitened.set(errors)
        const own = widens ? widened : factor
        solveLowerInPlace(own, size, whitened)
        return logWeight + normalLogDensity(own, whitened)
      }),
    )
  }
}

/**
 * Steps of the grids. Derived: the second grid has 16 steps to a standard deviation, where the sum is the integral
 * to many digits.
 */
const GRID_STEPS = 200
/**
 * Sizes of the guess that the first grid reaches to on either side. Derived: a difference is no larger than √n of
 * the guess, and a mean no larger than one.
 */
const FIRST_REACH = 4
/**
 * Standard deviations, found by the first grid, that the second one reaches to. Derived: six leave out 2e-9.
 */
const SECOND_REACH = 6

/**
 * Marginal likelihood of one number whose prior is normal about 0 with standard deviation `size`; and the number's mean,
 * standard deviation and interval by the data alone, under a flat prior.
 */
function amountBy(
  logLikelihood: (value: number) => number,
  size: number,
): { readonly logEvidence: number; readonly amount: Amount } {
  const first = gridSummary(logLikelihood, -FIRST_REACH * size, FIRST_REACH * size)
  const reach = SECOND_REACH * Math.max(first.standardDeviation, (FIRST_REACH * size) / GRID_STEPS)
  const { values, logDensities, step, mean, standardDeviation, quantile } = gridSummary(
    logLikelihood,
    first.mean - reach,
    first.mean + reach,
  )
  const logPrior = (value: number) => -0.5 * (value / size) ** 2 - Math.log(size * Math.sqrt(2 * Math.PI))
  return {
    logEvidence: logSum(values.map((value, k) => logDensities[k]! + logPrior(value) + Math.log(step))),
    amount: {
      value: mean,
      standardUncertainty: standardDeviation,
      interval95: [quantile(0.025), quantile(0.975)],
    },
  }
}

function gridSummary(logLikelihood: (value: number) => number, from: number, to: number) {
  const step = (to - from) / GRID_STEPS
  const values = Array.from({ length: GRID_STEPS + 1 }, (_, k) => from + k * step)
  const logDensities = values.map(logLikelihood)
  const largest = logDensities.reduce((most, value) => Math.max(most, value), Number.NEGATIVE_INFINITY)
  const densities = logDensities.map((value) => Math.exp(value - largest))
  const total = densities.reduce((sum, density) => sum + density, 0)
  const mean = values.reduce((sum, value, k) => sum + (value * densities[k]!) / total, 0)
  const variance = values.reduce((sum, value, k) => sum + ((value - mean) ** 2 * densities[k]!) / total, 0)
  const quantile = (probability: number): number => {
    let sum = 0
    for (const [k, density] of densities.entries()) {
      const share = density / total
      if (sum + share >= probability) return values[k]! - step / 2 + ((probability - sum) / share) * step
      sum += share
    }
    return to
  }
  return { values, logDensities, step, mean, standardDeviation: Math.sqrt(variance), quantile }
}

function rootMeanSquare(values: readonly number[]): number {
  return Math.sqrt(values.reduce((sum, value) => sum + value * value, 0) / values.length)
}

/** Relative slopes of marks as a shift that is straight in the offset, where there is no curve to follow. */
export function straightShift(marks: readonly (MarkDifference & { relativeSlope: number })[]): FeedShift {
  return (offset) => marks.map((mark) => ({ change: mark.relativeSlope * offset, variance: 0 }))
}
