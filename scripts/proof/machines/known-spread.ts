import {
  type AxisSide,
  type FittedMark,
  fitMark,
  type NoisePosterior,
} from '../../../src/regression/index.js'
import { likelyPoints } from '../../../src/regression/scatter/noise-model.js'
import {
  restrictedLikelihood,
  scatteringMarks,
} from '../../../src/regression/scatter/restricted-likelihood.js'
import { DIAL_RESET_SCATTERS, RUN_SCATTERS } from './drawn-mill.js'

/** Scatters tried between the ends of what machines are drawn from. */
const STEPS = 12

/**
 * The marks as one would fit them who knew beforehand from what machines are drawn: the same likelihood with that very
 * spread as the prior. Nobody who does not know the machine can, on average over such machines, give narrower intervals
 * that hold what they say; what this is above 1 is the price of learning the scatter from the repeats.
 */
export function marksWithKnownSpread(
  sides: readonly AxisSide[],
  dialRepeats: boolean,
): (side: AxisSide) => readonly FittedMark[] {
  const likelihoods = scatteringMarks(sides.flatMap((side) => side.groups)).map((group) =>
    restrictedLikelihood(group, group.logFeeds),
  )
  const points = logEven(RUN_SCATTERS).flatMap((runRelative) =>
    (dialRepeats ? [0] : logEven(DIAL_RESET_SCATTERS)).map((dialReset) => {
      const point = { runRelative, dialReset, weight: 0 }
      const weight = likelihoods.reduce((sum, likelihood) => sum + likelihood(point), 0)
      return { ...point, weight }
    }),
  )
  const posterior: NoisePosterior = { points: likelyPoints(points), degreesOfFreedom: likelihoods.length }
  return (side) => side.groups.map((group) => fitMark(group, posterior))
}

function logEven([low, high]: readonly [number, number]): number[] {
  return Array.from({ length: STEPS }, (_, i) => low * (high / low) ** ((i + 0.5) / STEPS))
}
