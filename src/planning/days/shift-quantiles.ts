import { mixtureQuantile, type NormalPart } from '../../numbers/mixture-quantile.js'
import type { DayPart } from '../../regression/scatter/day-effect.js'
import type { Direction } from '../../traverse/index.js'
import { AlikeParts, effectAt, slownessAt, slownessStep } from './lost-feed.js'

/** Probabilities of the ends of a 95 % interval. */
export const [LOWER, UPPER] = [0.025, 0.975]

/**
 * Factor between the standard deviations at which the quantiles are worked out. Measured: straight lines between
 * them are off by less than half a percent.
 */
const DEVIATION_FACTOR = 1.3

/** A feed without an error of its own is as good as one known to a millionth. */
const LEAST_DEVIATION = 1e-6

/** More than there are nodes from one slowness to the next: errors of a millionth to a thousandfold make 80. */
const NODES = 256

/** Quantiles of a day's effect and an own error together, of the logarithm of a feed. */
type ShiftQuantiles = (slowness: number, deviation: number, probability: number) => number

/**
 * Quantiles of a day's effect together with a normal error. They are a smooth function of the slowness of a setting and of
 * the error, worked out at a few of each: a lookup at the machine wants those of every place of a curve.
 */
export function shiftQuantiles(day: readonly DayPart[], direction: Direction): ShiftQuantiles {
  const isSymmetric = day.every(({ mean, lost }) => mean === 0 && lost[direction].mean === 0)
  const effects = new Map<number, readonly NormalPart[]>()
  const effect = (step: number) => {
    const parts = effects.get(step) ?? effectAt(day, direction, slownessAt(step))
    effects.set(step, parts)
    return parts
  }
  const known = new Map([LOWER, 0.5, UPPER].map((probability) => [probability, new Map<number, number>()]))
  const worked = (step: number, node: number, probability: number): number => {
    const ofProbability = known.get(probability)!
    const key = step * NODES + node
    const before = ofProbability.get(key)
    if (before !== undefined) return before
    const own = DEVIATION_FACTOR ** (2 * node)
    // Beside a large error of its own all small effects are alike.
    const alike = new AlikeParts()
    for (const { weight, mean, variance } of effect(step)) alike.add(weight, mean, variance + own)
    const quantile = mixtureQuantile(alike.together(), probability)
    ofProbability.set(key, quantile)
    return quantile
  }
  const quantileOf: ShiftQuantiles = (slowness, deviation, probability) => {
    if (isSymmetric && probability === 0.5) return 0
    if (isSymmetric && probability === UPPER) return -quantileOf(slowness, deviation, LOWER)
    const place = Math.log(Math.max(deviation, LEAST_DEVIATION)) / Math.log(DEVIATION_FACTOR)
    const node = Math.floor(place)
    const share = place - node
    const at = (step: number) =>
      (1 - share) * worked(step, node, probability) + share * worked(step, node + 1, probability)
    const { step, beyond } = slownessStep(slowness)
    return (1 - beyond) * at(step) + beyond * at(step + 1)
  }
  return quantileOf
}
