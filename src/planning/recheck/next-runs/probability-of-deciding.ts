import { seededNormal, seededUniform, weightedIndex } from '../../../numbers/index.js'
import type { ErrorPosterior } from '../error-points.js'
import { agreementsBetween } from '../look-agreements.js'
import { type Agreements, type LookLevel, lookLevel } from '../looks.js'
import {
  type DayOff,
  dayOff,
  type PlannedError,
  type PlannedMark,
  type PlannedSession,
  plannedError,
} from './planned-mark.js'
import { type DaySizes, daySizesOf, decider } from './planned-tests.js'

/** Draws for a probability of deciding. Derived: its standard error is √(0.85·0.15/300), 2 %. */
const DRAWS = 300

/**
 * Probability that planned runs decide, one look for each planned session, at the last of them or at one before.
 *
 * What further runs do to an estimate that holds those before is drawn from a normal whose variance is what they take off
 * the estimate's own (the increments of such estimates are independent of it); days and what else the marks share move all
 * of them alike. How far a further day comes to lie off those before tells how far days differ, so that days that agree
 * narrow what is allowed for them: the sizes of the day effect are weighed by that, as the look itself will weigh them
 * (H. Raiffa, R. Schlaifer, Applied Statistical Decision Theory, 1961: preposterior analysis). Before any run the machine is
 * taken for one that did not move, unless the marks have a difference.
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
  const known = daySizesOf(posterior)
  const looks = plannedLooks(marks, planned, { posterior, known }, question)
  if (looks === null) return 0
  const normal = seededNormal(question.seed)
  const uniform = seededUniform(~question.seed)
  let decided = 0
  for (let k = 0; k < DRAWS; k++) {
    const point = posterior.points[weightedIndex(posterior.points, uniform())]!
    let values = marks.map(({ difference }) => difference)
    let weights: readonly number[] | null = null
    for (const { before, after, off, decides } of looks) {
      const ofDay = normal()
      values = values.map((value, i) => {
        const [was, is] = [before[i] ?? null, after[i]!]
        const own = was === null ? is.own(point) : was.own(point) - is.own(point)
        const shared = was === null ? is.shared(point) : was.shared(point) - is.shared(point)
        return value + rootOf(own) * normal() + rootOf(shared) * ofDay
      })
      if (off !== null) {
        const { dayRelative = 0 } = point
        const liesOff = Math.sqrt(off.days) * dayRelative * ofDay + Math.sqrt(off.ownVariance) * normal()
        weights = weighed(known, weights, off, liesOff)
      }
      if (!decides(values, weights)) continue
      decided += 1
      break
    }
  }
  return decided / DRAWS
}

/** One look after another, each with what is uncertain before and after it; null where a mark would have no run. */
function plannedLooks(
  marks: readonly PlannedMark[],
  planned: readonly PlannedSession[],
  known: { readonly posterior: ErrorPosterior; readonly known: DaySizes },
  { withinPercent, agreements }: { readonly withinPercent: number; readonly agreements: Agreements | null },
) {
  const { posterior } = known
  const errors = [...planned.keys(), planned.length].map((count) =>
    marks.map((mark) => plannedError(mark, planned.slice(0, count), posterior)),
  )
  const complete = errors.slice(1).map((ofLook) => ofLook.flatMap((error) => error ?? []))
  if (complete.some((ofLook) => ofLook.length < marks.length)) return null
  return complete.map((after, k) => ({
    before: errors[k]!,
    after,
    off: dayOff(marks, planned.slice(0, k + 1), posterior),
    decides: decider(marks, after, known, withinPercent, levelOf(errors.slice(0, k + 2), agreements)),
  }))
}

/** The level of the last of some looks; where there was a look before them, the first is what it left uncertain. */
function levelOf(
  errors: readonly (readonly (PlannedError | null)[])[],
  agreements: Agreements | null,
): LookLevel {
  const compared = agreements === null ? errors.slice(1) : errors
  const steps = agreementsBetween(compared.map((ofLook) => ofLook.map((error) => error?.expected ?? null)))
  return lookLevel([...(agreements ?? []), ...steps])
}

/** Weights of the sizes of the day effect once a day has come to lie so far off those before it. */
function weighed(
  { sizes }: DaySizes,
  before: readonly number[] | null,
  { days, ownVariance }: DayOff,
  liesOff: number,
): number[] {
  const likely = sizes.map(({ dayRelative, weight }, k) => {
    const variance = days * dayRelative ** 2 + ownVariance
    return ((before?.[k] ?? weight) * Math.exp(-(liesOff ** 2) / (2 * variance))) / Math.sqrt(variance)
  })
  const total = likely.reduce((sum, one) => sum + one, 0)
  return likely.map((one) => one / total)
}

function rootOf(variance: number): number {
  return Math.sqrt(Math.max(0, variance))
}
