import { fQuantile } from '../../numbers/index.js'
import { blockMeans, type Track } from '../../traverse/index.js'
import { BEND_POINTS } from './model-points.js'
import { type SlopeFit, slopeFit } from './slope-fit.js'

/** A speed that changed over the steady part by more than scatter explains. */
interface VaryingSpeed {
  /** Mean speed over the whole steady part, distance over time, signed, and its standard error, mm/s. */
  readonly meanMmPerS: number
  readonly standardErrorMmPerS: number
  /** Fastest less slowest part, as a share of the mean. */
  readonly spread: number
}

/**
 * Parts of equal time whose speeds are compared; fewer where a part would hold fewer than `PART_SAMPLES`.
 * Judgement: more parts see shorter changes, and each is known worse.
 */
const PARTS = 8
/** Fewest parts. Derived: two show a speed that changes all the way but not one that rises and falls. */
const MIN_PARTS = 3
/** Fewest blocks of a part. Judgement: fewer leave the speeds of the parts to single samples. */
const PART_SAMPLES = 4
/**
 * Level of the F test that takes the parts for unequal. Judgement, as the level of every test on a single run: one
 * sound run in a hundred has its interval widened.
 */
const LEVEL = 0.01

/**
 * Speeds of the parts of a steady part, by least squares on a chain of straight lines of equal time; null where the
 * F test at 1 % finds no difference between them. The residual variance is inflated for autocorrelation (Newey and West
 * 1987), so that the staircase of rounding is no change of speed.
 *
 * @param track positions less the leadscrew's ripple and whatever else is no change of speed
 */
export function varyingSpeed(track: Track): VaryingSpeed | null {
  const blocks = blockMeans(track.timeS, track.positionMm, BEND_POINTS)
  const parts = Math.min(PARTS, Math.floor(blocks.timeS.length / PART_SAMPLES))
  if (parts < MIN_PARTS) return null
  const line = slopeFit(blocks, [])
  const chain = slopeFit(blocks, bends(blocks.timeS, parts))
  if (line === null || chain === null || !unequal(line, chain)) return null
  // Each bend is by how much the speed changes at its knot.
  const speeds = [0]
  for (const bend of chain.extra) speeds.push(speeds.at(-1)! + bend)
  return {
    meanMmPerS: chain.slopeMmPerS,
    standardErrorMmPerS: chain.standardErrorMmPerS,
    spread: (Math.max(...speeds) - Math.min(...speeds)) / Math.abs(chain.slopeMmPerS),
  }
}

/**
 * Bends at the knots between parts. Each is 0 at both ends of the steady part, so that the slope fitted beside them is
 * the mean speed.
 */
function bends(timeS: Float64Array, parts: number): Float64Array[] {
  const startS = timeS[0]!
  const spanS = timeS[timeS.length - 1]! - startS
  return Array.from({ length: parts - 1 }, (_, k) => {
    const share = (k + 1) / parts
    return timeS.map((time) => {
      const into = time - startS
      return share * into - Math.min(into, share * spanS)
    })
  })
}

function unequal(line: SlopeFit, chain: SlopeFit): boolean {
  const bendCount = line.degreesOfFreedom - chain.degreesOfFreedom
  const between = (line.residualSumOfSquares - chain.residualSumOfSquares) / bendCount
  const within = (chain.varianceInflation * chain.residualSumOfSquares) / chain.degreesOfFreedom
  return within > 0 && between / within > fQuantile(1 - LEVEL, bendCount, chain.degreesOfFreedom)
}
