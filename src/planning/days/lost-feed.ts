import type { NormalPart } from '../../numbers/mixture-quantile.js'
import type { FeedTable } from '../../regression/index.js'
import type { DayPart } from '../../regression/scatter/day-effect.js'
import { halfT, type LostSize } from '../../regression/scatter/day-prior.js'
import { sizePrior } from '../../regression/scatter/size-grid.js'
import type { Direction } from '../../traverse/index.js'

/**
 * Scale of the half-t prior of what a day loses or gains of all feeds alike, as a share of the fastest: standard deviation
 * from session to session in one direction. A dead band that moves and friction that changes do so; it shows most where the
 * drive is slow. Of `fixtures/open-data` the left motor lost 0.5 % and 3.2 % of its fastest speed from one session to the
 * next, one way and the other, beside a common factor: 1.6 % a session (root mean square over √2). It ran on a battery,
 * and stands for one drive in two hundred, so that 99.5 % of the prior lies below: 0.016 over the 99.75 % point of
 * Student's t with 2 degrees, 14.09. The right motor had no part in it: the proofs judge by that one.
 *
 * Tried instead: 97.5 % of the prior below, as of the common factor of such motors. Slow settings of drives that lose
 * nothing then came out twice as wide on any day as on their own, where they are now a third wider; where a day loses 0.5 %
 * of the fastest feed, any day held 93 to 98 instead of 89 to 93 %, and one check run 96 instead of 92 to 93 %
 * (`scripts/proofs/days.js --lost`).
 */
export const LOST_FEED_SCALE = 0.0011

/** Sizes tried, geometric, share of the fastest feed. Judgement, as for the day effect; the prior leaves 1 % outside. */
const LOST_GRID = { from: 0.0003, to: 0.1, count: 8 }

/** The prior of it on a grid; weights sum to 1. */
export function lostFeedPrior(): LostSize[] {
  return sizePrior(LOST_GRID, (size) => size * halfT(size, LOST_FEED_SCALE)).map(({ size, weight }) => ({
    lostRelative: size,
    weight,
  }))
}

/**
 * The fastest feed over that of the settings whose shift is the common factor alone: the mean of it over the points of the
 * left motor, for such a mean is what the prior of the common factor was measured by.
 */
const WHERE_COMMON = 1.35

/**
 * Fastest feed over that of a setting from which on slower ones count as this one. Judgement: dials span less, and a feed
 * slower than this creeps.
 */
const SLOWEST = 30

/** How much of what a day loses of all feeds alike is in the logarithm of a feed of a table, beside the common factor. */
export function slownessOf(table: FeedTable): (feedMmPerMin: number) => number {
  const { marks } = table.asMeasured ?? table
  const fastest = Math.max(...marks.map((mark) => mark.feedMmPerMin))
  return (feedMmPerMin) =>
    (feedMmPerMin * SLOWEST > fastest ? fastest / feedMmPerMin : SLOWEST) - WHERE_COMMON
}

/** Factor between the slownesses at which effects are worked out. Measured: lines between them are off by less than 0.5 %. */
const SLOWNESS_FACTOR = 1.3

/** The last step at which effects are worked out that is not slower than this, and which share of the next one lies beyond. */
export function slownessStep(slowness: number): { readonly step: number; readonly beyond: number } {
  const step = Math.floor(Math.log(slowness + WHERE_COMMON) / Math.log(SLOWNESS_FACTOR))
  const [below, above] = [slownessAt(step), slownessAt(step + 1)]
  return { step, beyond: (slowness - below) / (above - below) }
}

export function slownessAt(step: number): number {
  return SLOWNESS_FACTOR ** step - WHERE_COMMON
}

/** Standard deviations within this factor count as one. Measured: half widths are off by less than 3 %. */
const ONE_DEVIATION = 1.3

/** The effect of a day at a setting, of the logarithm of its feed. */
export function effectAt(
  day: readonly DayPart[],
  direction: Direction,
  slowness: number,
): readonly NormalPart[] {
  const alike = new AlikeParts()
  for (const part of day) {
    const shared = Math.max(0, covarianceAt(part, direction, slowness, slowness))
    alike.add(part.weight, part.mean + slowness * part.lost[direction].mean, shared + part.placeVariance)
  }
  return alike.together()
}

/** Covariance of the effect of a day, for one size of it, that two settings of a direction have by their slownesses. */
export function covarianceAt(
  { variance: common, lost }: DayPart,
  direction: Direction,
  one: number,
  other: number,
): number {
  const { variance, covariance } = lost[direction]
  return common + (one + other) * covariance + one * other * variance
}

/** A mixture whose parts are taken together where they are much alike, which is told in a tenth of the time. */
export class AlikeParts {
  /** By how large the variance is; with holes. */
  readonly #bins: { weight: number; sum: number; squares: number }[] = []

  add(weight: number, mean: number, variance: number): void {
    const bin = binOf(Math.max(variance, TINY_VARIANCE)) - FIRST_BIN
    this.#bins[bin] ??= { weight: 0, sum: 0, squares: 0 }
    const there = this.#bins[bin]
    there.weight += weight
    there.sum += weight * mean
    there.squares += weight * (variance + mean ** 2)
  }

  together(): NormalPart[] {
    // What is a hole is left out.
    return this.#bins.flatMap(({ weight, sum, squares }) => {
      const mean = sum / weight
      return { weight, mean, variance: Math.max(0, squares / weight - mean ** 2) }
    })
  }
}

/** A variance that is as good as none, of the logarithm of a feed: a feed known to a millionth. */
const TINY_VARIANCE = 1e-12

const BIN_WIDTH = 2 * Math.log(ONE_DEVIATION)
const binOf = (variance: number) => Math.round(Math.log(variance) / BIN_WIDTH)
const FIRST_BIN = binOf(TINY_VARIANCE)
