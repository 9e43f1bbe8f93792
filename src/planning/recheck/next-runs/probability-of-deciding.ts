import {
  type MixturePart,
  mixtureHalfWidth,
  seededNormal,
  seededUniform,
  weightedIndex,
} from '../../../numbers/index.js'
import { MOVED_SHARES, toleranceLimits } from '../decision.js'
import type { ErrorPosterior } from '../error-points.js'
import { agreementsBetween } from '../look-agreements.js'
import { type Agreements, type LookLevel, lookLevel } from '../looks.js'
import { type PlannedError, type PlannedMark, type PlannedSession, plannedError } from './planned-mark.js'

/** Draws for a probability of deciding. Derived: its standard error is √(0.85·0.15/300), 2 %. */
const DRAWS = 300

/**
 * Probability that planned runs decide, one look for each planned session, judged at the last of them.
 *
 * What further runs do to an estimate that holds those before is drawn from a normal whose variance is what they take off
 * the estimate's own (the increments of such estimates are independent of it); days and what else the marks share move all
 * of them alike. Before any run the machine is taken for one that did not move.
 */
export function probabilityOfDeciding(
  marks: readonly PlannedMark[],
  planned: readonly PlannedSession[],
  posterior: ErrorPosterior,
  question: {
    readonly withinPercent: number
    readonly agreements: Agreements | null
    readonly seed: number
  },
): number {
  const before = marks.map((mark) => plannedError(mark, [], posterior))
  const after = marks.map((mark) => plannedError(mark, planned, posterior))
  if (after.some((error) => error === null)) return 0
  const isDecided = decider(
    marks,
    after.map((error) => error!),
    posterior,
    question.withinPercent,
    levelAfter(marks, planned, posterior, question.agreements),
  )
  const normal = seededNormal(question.seed)
  const uniform = seededUniform(~question.seed)
  let decided = 0
  for (let k = 0; k < DRAWS; k++) {
    const point = posterior.points[weightedIndex(posterior.points, uniform())]!
    const together = normal()
    const values = marks.map((mark, i) => {
      const [was, is] = [before[i]!, after[i]!]
      const own = was === null ? is.own(point) : was.own(point) - is.own(point)
      const shared = was === null ? is.shared(point) : was.shared(point) - is.shared(point)
      return mark.difference + rootOf(own) * normal() + rootOf(shared) * together
    })
    if (isDecided(values)) decided += 1
  }
  return decided / DRAWS
}

function rootOf(variance: number): number {
  return Math.sqrt(Math.max(0, variance))
}

/** The error of a mark as a mixture over scatters and days. */
export function mixtureOf({ own, shared }: PlannedError, posterior: ErrorPosterior): MixturePart[] {
  return posterior.points.map((point) => ({
    weight: point.weight,
    standardDeviation: Math.sqrt(own(point) + shared(point)),
  }))
}

/** The level of the look after the planned sessions, one look each. */
function levelAfter(
  marks: readonly PlannedMark[],
  planned: readonly PlannedSession[],
  posterior: ErrorPosterior,
  agreements: Agreements | null,
): LookLevel {
  const looks = planned.map((_, k) => planned.slice(0, k + 1))
  // Where there was a look before, the first planned one is compared with it.
  const compared = agreements === null ? looks : [[], ...looks]
  const steps = agreementsBetween(
    compared.map((some) => marks.map((mark) => plannedError(mark, some, posterior)?.expected ?? null)),
  )
  return lookLevel([...(agreements ?? []), ...steps])
}

/** Whether differences with these errors decide, as `decide` would. */
function decider(
  marks: readonly PlannedMark[],
  errors: readonly PlannedError[],
  posterior: ErrorPosterior,
  withinPercent: number,
  level: LookLevel,
): (values: readonly number[]) => boolean {
  const { low, high } = toleranceLimits(withinPercent)
  const parts = errors.map((error) => mixtureOf(error, posterior))
  const half = (mixture: readonly MixturePart[], share: number) =>
    mixtureHalfWidth(mixture, 1 - 2 * level(share))
  const halves = parts.map((mixture) => half(mixture, 1))
  const farthest = parts.map((mixture) => half(mixture, MOVED_SHARES.marks / marks.length))
  const means = (
    [
      [marks.map(() => 1), MOVED_SHARES.scale],
      [marks.map((mark) => mark.relativeSlope), MOVED_SHARES.knob],
    ] as const
  ).map(([effects, share]) => {
    const weights = meanWeights(effects, errors)
    const mixture = posterior.points.map((point) => ({
      weight: point.weight,
      standardDeviation: Math.sqrt(meanVariance(weights, errors, point)),
    }))
    return { weights, half: half(mixture, share) }
  })
  const isBeyond = (value: number, width: number) => value - width > high || value + width < low
  return (values) =>
    values.every((value, i) => value - halves[i]! >= low && value + halves[i]! <= high) ||
    values.some((value, i) => isBeyond(value, farthest[i]!)) ||
    means.some(({ weights, half: width }) =>
      isBeyond(
        values.reduce((sum, value, i) => sum + weights[i]! * value, 0),
        width,
      ),
    )
}

/** Weights of a mean of the marks as `decide` takes it; none where the effect is nothing everywhere. */
function meanWeights(effects: readonly number[], errors: readonly PlannedError[]): number[] {
  const shares = effects.map((effect, i) => effect / errors[i]!.expected)
  const total = shares.reduce((sum, share) => sum + Math.abs(share), 0)
  return shares.map((share) => (total > 0 ? share / total : 0))
}

function meanVariance(
  weights: readonly number[],
  errors: readonly PlannedError[],
  point: Parameters<PlannedError['own']>[0],
): number {
  const shared =
    weights.reduce((sum, weight, i) => sum + weight * Math.sqrt(errors[i]!.shared(point)), 0) ** 2
  return weights.reduce((sum, weight, i) => sum + weight ** 2 * errors[i]!.own(point), shared)
}
