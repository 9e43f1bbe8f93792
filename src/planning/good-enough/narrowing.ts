import type { KnownPlace } from './places.js'

/** A place whose variance falls as runs are planned. All relative variances. */
interface PlannedPlace extends KnownPlace {
  meanVariance: number
  readonly settingVariance: number
}

/**
 * How well each place of one direction would be known after further runs, by what its intervals say now.
 *
 * Between two marks the error of a curve is taken for the errors of the marks, carried straight across, and a bridge
 * that is tied down at both: what of the band is wider than the marks explain is what the shape leaves open, alike at
 * two places as a Brownian bridge is (variance and covariance: I. Karatzas, S. E. Shreve, Brownian Motion and
 * Stochastic Calculus, 1991, section 5.6.B). A run then takes Cov²/(variance there + variance of a run) off the variance
 * of each place around, as a normal variable that is measured does. Rougher than a fit of the outcome, which takes a
 * hundred times as long.
 */
export class Narrowing {
  readonly places: readonly PlannedPlace[]
  readonly #marks: number[]
  readonly #continuous: boolean

  /** @param marks dials that were measured, among the places, rising */
  constructor(places: readonly KnownPlace[], marks: readonly number[], continuous: boolean) {
    this.places = places.map((place) => ({
      ...place,
      meanVariance: place.meanDeviation ** 2,
      settingVariance: Math.max(LEAST_VARIANCE, place.settingDeviation ** 2),
    }))
    this.#marks = [...marks]
    this.#continuous = continuous
  }

  /** What a run at `dial` would take off the variance at `place`, relative. */
  gain(place: PlannedPlace, dial: number): number {
    const at = this.at(dial)
    return this.#covariance(place, at) ** 2 / (at.meanVariance + at.settingVariance)
  }

  /** Plans a run at `dial`. */
  measure(dial: number): void {
    const at = this.at(dial)
    const near = this.#continuous ? this.#reach(dial) : ([dial, dial] as const)
    const affected = this.places.filter((place) => place.dial >= near[0] && place.dial <= near[1])
    const gains = affected.map((place) => this.gain(place, dial))
    if (!this.#marks.includes(at.dial)) this.#marks.push(at.dial)
    this.#marks.sort((a, b) => a - b)
    for (const [k, place] of affected.entries())
      place.meanVariance = Math.max(0, place.meanVariance - gains[k]!)
  }

  /** Takes off the variance of a place what runs elsewhere made known of it. */
  lessen(place: PlannedPlace, variance: number): void {
    place.meanVariance = Math.max(LEAST_VARIANCE, place.meanVariance - variance)
  }

  /** The place of a dial, or the nearest one. */
  at(dial: number): PlannedPlace {
    return this.places.reduce((best, one) =>
      Math.abs(one.dial - dial) < Math.abs(best.dial - dial) ? one : best,
    )
  }

  /** Measured dials on either side of a place; the place itself where it is one. */
  gapOf(dial: number): readonly [number, number] {
    const below = this.#marks.findLast((mark) => mark <= dial)
    const above = this.#marks.find((mark) => mark >= dial)
    return [below ?? above ?? dial, above ?? below ?? dial]
  }

  /** From the measured dial before to the one after. */
  #reach(dial: number): readonly [number, number] {
    const before = this.#marks.findLast((mark) => mark < dial) ?? dial
    const after = this.#marks.find((mark) => mark > dial) ?? dial
    return [before, after]
  }

  #covariance(one: PlannedPlace, other: PlannedPlace): number {
    if (one === other) return one.meanVariance
    if (!this.#continuous) return 0
    const [from, to] = this.#gapOfBoth(one.dial, other.dial)
    if (from === null || to === null || from === to) return 0
    const [x, y] = [one, other].map(({ dial }) => (dial - from) / (to - from)) as [number, number]
    const [left, right] = [this.at(from).meanVariance, this.at(to).meanVariance]
    const carried = (1 - x) * (1 - y) * left + x * y * right
    const bridge = (place: PlannedPlace, share: number) =>
      Math.max(0, place.meanVariance - (1 - share) ** 2 * left - share ** 2 * right)
    const [near, far] = [Math.min(x, y), Math.max(x, y)]
    const alike = near <= 0 || far >= 1 ? 0 : Math.sqrt((near * (1 - far)) / (far * (1 - near)))
    return carried + alike * Math.sqrt(bridge(one, x) * bridge(other, y))
  }

  /** The gap that both dials lie in, its ends among it; nulls where they lie in different ones. */
  #gapOfBoth(one: number, other: number): readonly [number | null, number | null] {
    const [low, high] = [Math.min(one, other), Math.max(one, other)]
    const from = this.#marks.findLast((mark) => mark <= low) ?? null
    const to = this.#marks.find((mark) => mark > low) ?? null
    return to !== null && high <= to ? [from, to] : [null, null]
  }
}

/**
 * Least relative variance of a setting: a hundredth of a percent, squared. Judgement: a setting that never
 * scattered still does; it keeps shares finite.
 */
const LEAST_VARIANCE = 1e-8
