import { type SeededRandom, type SimulatedMill, seededRandom } from '../../../src/simulation/index.js'
import { DIAL_MAX, DIAL_MIN, familyCurve } from './dial-families.js'

/** One of the choices, each as likely as the next. */
export function pick<T>(random: SeededRandom, choices: readonly T[]): T {
  return choices[Math.floor(random.uniform() * choices.length)]!
}

/** Even in the logarithm between two positive numbers. */
export function logUniform(random: SeededRandom, low: number, high: number): number {
  return low * (high / low) ** random.uniform()
}

/** Relative scatter from run to run, and scatter of setting the dial, in its units: least and most. */
export const RUN_SCATTERS = [0.003, 0.02] as const
export const DIAL_RESET_SCATTERS = [0.01, 0.08] as const

/**
 * A mill drawn from what small mills may be: feeds to 200–900 mm/min, 0.3–2 % scatter from run to run, dials set to
 * 0.01–0.08 of their ten units, leadscrews with and without ripple. Ranges as common practice, no source.
 */
export function drawnMill(family: string, seed: number): SimulatedMill {
  const random = seededRandom(seed)
  const fullFeedMmPerMin = logUniform(random, 200, 900)
  return {
    name: `drawn ${seed}`,
    unit: 'mm',
    spindleRpm: [],
    axis: 'X',
    travelMm: 400 + 300 * random.uniform(),
    dialMin: DIAL_MIN,
    dialMax: DIAL_MAX,
    marks: [1, 2, 3, 4, 5, 6, 7, 8, 9, 10],
    stepped: family === 'stepped',
    curve: familyCurve(family, fullFeedMmPerMin, random),
    rapidFeedMmPerMin: 3 * fullFeedMmPerMin,
    minusFactor: 0.95 + 0.08 * random.uniform(),
    runScatter: logUniform(random, ...RUN_SCATTERS),
    dialResetScatter: family === 'stepped' ? 0 : logUniform(random, ...DIAL_RESET_SCATTERS),
    leadscrewPitchMm: pick(random, [2.54, 4, 5, 5.08, 6.35]),
    rippleFraction: pick(random, [0, 0.01, 0.03]),
    rampTimeConstantS: logUniform(random, 0.03, 0.3),
    coast: { dragMmPerS2: 20 + 60 * random.uniform(), timeConstantS: 0.05 + 0.2 * random.uniform() },
    warmUp: null,
  }
}
