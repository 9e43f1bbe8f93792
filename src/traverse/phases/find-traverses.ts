import type { RejectedLine, SampleSeries } from '../../ingest/index.js'
import type { Track } from '../block-means.js'
import { findBursts, type RejoinedPositions, rejoinJumps } from '../disturbances/position-jumps.js'
import { type StickSlip, stickSlipWarning, withoutSticking } from '../disturbances/stick-slip.js'
import type { Traverse } from '../traverse.js'
import { judgeMotion, type MotionInContext } from './judge-motion.js'
import { motionLimits } from './motion-limits.js'
import { findMotions, type Motion, type MotionLimits } from './motions.js'
import { type UsableSamples, usableSamples, withoutSamples } from './usable-samples.js'

export interface FindTraversesOptions {
  /** Smallest step the readout shows, mm. */
  readonly positionStepMm: number
  /** Lines that gave no sample, to tell how much of a traverse was lost. Default none. */
  readonly rejectedLines?: readonly RejectedLine[]
  /** Mean number of lines that came in one arrival. Default 1. */
  readonly linesPerArrival?: number
}

/**
 * Lines in one arrival, on average, from which on they come in batches. Judgement: two lines together now and then are a
 * busy computer.
 */
export const BATCHED = 1.1

/**
 * Finds the traverses of a recording, to and fro, each with its phases: rest, ramp up, steady travel, coast,
 * rest. Traverses that cannot be evidence of a feed are returned with the reason. The cost is linear in the
 * number of samples.
 *
 * @returns in order of time; empty where the table never moved
 * @throws RangeError where the position step is not positive
 */
export function findTraverses(samples: SampleSeries, options: FindTraversesOptions): Traverse[] {
  const found = motionsIn(samples, options.positionStepMm)
  const { usable, rejoined, track, limits, motions } = found
  return motions.map((motion, i) => {
    const window = windowOf(motions, i, usable, samples.timeS.length)
    const sticking = stickSlipIn(found, motion)
    const traverse = judgeMotion({
      track,
      motion,
      limits,
      ...paceOf(found, motion, options),
      jumps: rejoined.jumps,
      rejectedLines: options.rejectedLines ?? [],
      lateS: (options.linesPerArrival ?? 1) >= BATCHED ? usable.periodS : 0,
      unitBefore: unitSwitchedBefore(rejoined, motion),
    })
    return {
      ...traverse,
      ...(sticking === null
        ? {}
        : { coast: null, warnings: [...traverse.warnings, stickSlipWarning(sticking)] }),
      steadyIndices: traverse.steadyIndices.map((index) => usable.index[index]!),
      window,
      outliers: usable.outliers.filter((index) => index >= window.from && index < window.to).length,
    }
  })
}

/** The motions of a recording, and the samples that show them. */
interface MotionsFound {
  readonly usable: UsableSamples
  readonly rejoined: RejoinedPositions
  /** The samples that are kept; indices of the motions are its own. */
  readonly track: Track
  readonly limits: MotionLimits
  readonly motions: readonly Motion[]
  /** Where the table sticks and slips; one sample of every stand is kept there. */
  readonly sticking: readonly StickSlip[]
}

/** @throws RangeError where the position step is not positive */
export function motionsIn(samples: SampleSeries, positionStepMm: number): MotionsFound {
  if (!(positionStepMm > 0))
    throw new RangeError(`A position step must be positive, not ${positionStepMm} mm.`)
  const hampel = usableSamples(samples, positionStepMm)
  const { samples: seen, stretches: sticking } = withoutSticking(hampel, positionStepMm)
  const usable = withoutSamples(seen, findBursts(seen, positionStepMm))
  const rejoined = rejoinJumps(usable, positionStepMm)
  const track = { timeS: usable.timeS, positionMm: rejoined.positionMm }
  const limits = motionLimits(positionStepMm, usable.noiseMm)
  return { usable, rejoined, track, limits, motions: findMotions(track, limits), sticking }
}

/** How the table sticks and slips on the way; null where it does not. */
function stickSlipIn({ track, sticking }: MotionsFound, { from, to }: Motion): StickSlip | null {
  const [fromS, toS] = [track.timeS[from]!, track.timeS[to]!]
  return sticking.find((stretch) => stretch.fromS < toS && stretch.toS > fromS) ?? null
}

/** Usual time between the samples of a motion, how many lines each stands for, and the beat of the lines. */
export function paceOf(
  found: MotionsFound,
  motion: Motion,
  { linesPerArrival = 1 }: FindTraversesOptions,
): Required<Pick<MotionInContext, 'periodS' | 'linesPerSample' | 'beat'>> {
  const { periodS: lineS, index } = found.usable
  const periodS = Math.max(lineS, stickSlipIn(found, motion)?.cycleS ?? 0)
  const beat = { numbers: index, handOverS: linesPerArrival * lineS }
  return { periodS, linesPerSample: lineS > 0 ? periodS / lineS : 1, beat }
}

/** From the middle of the rest before to the middle of the rest after; the ends of the recording belong to it. */
function windowOf(
  motions: readonly Motion[],
  i: number,
  usable: UsableSamples,
  length: number,
): Traverse['window'] {
  const boundary = (earlier: Motion | undefined, later: Motion | undefined): number | null =>
    earlier === undefined || later === undefined
      ? null
      : (usable.index[Math.floor((earlier.to + later.from) / 2)] ?? null)
  return {
    from: boundary(motions[i - 1], motions[i]) ?? 0,
    to: boundary(motions[i], motions[i + 1]) ?? length,
  }
}

/** After an odd number of switches between inch and mm the numbers no longer mean what they did. */
export function unitSwitchedBefore(rejoined: RejoinedPositions, motion: Motion): boolean {
  const switches = rejoined.jumps.filter((jump) => jump.kind === 'unit-switched' && jump.at <= motion.from)
  return switches.length % 2 === 1
}
