import { DataError } from '../../errors/index.js'
import { studentTQuantile } from '../../numbers/index.js'
import { blockMeans, NO_RAMPS_LEFT, type RampsLeft, type Track } from '../../traverse/index.js'
import { fadingRamp, unsureTimeConstant } from './fading-ramp.js'
import { hiddenRamp } from './hidden-ramp.js'
import { leadscrewHarmonic } from './leadscrew-harmonic.js'
import type { RunFeed } from './run-feed.js'
import { beyondLineAndRipple, hiddenRipple, shortTravelSlope } from './short-travel.js'
import { harmonicHelps, rippledFit, type SlopeFit, slopeFit } from './slope-fit.js'
import { varyingSpeed } from './varying-speed.js'

interface SteadyFeedOptions {
  /** Pitch of the leadscrew, mm, where it is known; otherwise its ripple is searched for. */
  readonly leadscrewPitchMm?: number
  /** Smallest step of the readout, mm: bounds the uncertainty from below. Default 0. */
  readonly positionStepMm?: number
  /** Ramps that may reach into the samples. Default none. */
  readonly rampsLeft?: RampsLeft
}

/**
 * Longer runs are averaged to so many blocks. Derived: the slope loses 1/n², 1e-8, of its information, and the
 * time to fit stays flat.
 */
const MAX_BLOCKS = 8192
/**
 * A travel shorter than this, mm, may hold too few turns of a leadscrew to show its ripple. Derived: three turns
 * of the coarsest pitch reckoned with, 8 mm.
 */
export const FEW_TURNS_MM = 24

/**
 * Steady feed of one run: the slope of position on time by least squares on
 * [1, t − t̄, sin(2πx/P), cos(2πx/P)], the last two where the leadscrew's period P is known or found and the
 * F test keeps them at 1 %. The standard error is the larger of the plain one and Newey and West's (1987), with
 * lag ⌊4(n/100)^(2/9)⌋ + 1 and factor n/(n − p); the interval is Student's with n − p degrees of freedom.
 * A ramp that still fades in the samples given is fitted along (`fadingRamp`).
 * Where the travel holds too few turns to show a ripple, what ripple may have made of the slope is counted in
 * (`shortTravelSlope`).
 * The feed is the mean speed of the steady part, distance over time. Where the speed varies, the slope is not that: it
 * weighs the middle more. Where the parts' speeds differ (`varyingSpeed`), the difference of slope and mean speed is
 * counted as uncertainty.
 *
 * Any time origin will do: times are measured from the first sample before anything is squared.
 *
 * @param timeS times in s, not falling; @param positionMm positions in mm of the same samples
 * @throws DataError `too-few-samples` below three samples or without any spread of time
 * @example steadyFeed([0, 1, 2, 3], [0, 2, 4, 6]).feedMmPerMin // 120
 */
export function steadyFeed(
  timeS: ArrayLike<number>,
  positionMm: ArrayLike<number>,
  options: SteadyFeedOptions = {},
): RunFeed {
  return steadyFit(timeS, positionMm, options).feed
}

export interface SteadyFit {
  readonly feed: RunFeed
  /** Fastest less slowest part of the steady part, as a share of the feed; 0 where scatter explains it. */
  readonly speedSpread: number
  /** What ramps make of the feed and leave uncertain in it (standard uncertainty, type B), as a share of it. */
  readonly rampShare: number
}

/** `steadyFeed`, and by how much the speed varied meanwhile. */
export function steadyFit(
  timeS: ArrayLike<number>,
  positionMm: ArrayLike<number>,
  options: SteadyFeedOptions,
): SteadyFit {
  const track = blockMeans(timeS, positionMm, MAX_BLOCKS)
  const line = slopeFit(track, [])
  if (line === null) {
    throw new DataError(
      'too-few-samples',
      `${timeS.length} samples over ${spanOf(timeS)} s cannot give a feed.`,
      'Record a longer traverse, or a readout that sends more often.',
    )
  }
  const travelMm = Math.abs(track.positionMm[track.positionMm.length - 1]! - track.positionMm[0]!)
  const left = options.rampsLeft ?? NO_RAMPS_LEFT
  const lagS = left.startSeen ? left.start[0]?.timeConstantS : undefined
  const ramp = travelMm < FEW_TURNS_MM ? null : fadingRamp(track, lagS)
  const plain = ramp?.fit ?? line
  const withoutRampMm =
    ramp === null ? track.positionMm : track.positionMm.map((mm, i) => mm - ramp.addsMm[i]!)
  const harmonic = leadscrewHarmonic(track.timeS, withoutRampMm, options.leadscrewPitchMm)
  const rippled = harmonic === null ? null : rippledFit(track, harmonic, ramp === null ? [] : [ramp.column])
  const kept = rippled !== null && harmonicHelps(plain, rippled.fit) ? rippled.fit : plain

  const fewTurns = kept === line && travelMm < FEW_TURNS_MM
  const bare = fewTurns ? shortTravel(track, line, options) : kept
  const rippleOut = kept === rippled?.fit ? { ...track, positionMm: rippled.withoutRippleMm } : track
  const hidden = ramp === null ? hiddenRamp(rippleOut, left) : unsureTimeConstant(rippleOut, ramp, lagS)
  const told = {
    ...bare,
    slopeMmPerS: bare.slopeMmPerS + hidden.shiftMmPerS,
    standardErrorMmPerS: Math.hypot(bare.standardErrorMmPerS, hidden.uncertaintyMmPerS),
  }
  const rampShare = Math.hypot(hidden.shiftMmPerS, hidden.uncertaintyMmPerS) / Math.abs(told.slopeMmPerS)
  const floor = quantisationFloor(track, timeS.length, options.positionStepMm ?? 0)
  const ripple =
    rippled !== null && kept === rippled.fit
      ? { periodMm: rippled.periodMm, amplitudeMm: Math.hypot(...kept.harmonic) }
      : null
  const withoutRipple = ripple === null ? track.positionMm : rippled!.withoutRippleMm
  const rampMm = ramp === null ? null : ramp.column.map((value) => value * kept.extra.at(-1)!)
  const varying = varyingSpeed({
    timeS: track.timeS,
    positionMm: rampMm === null ? withoutRipple : withoutRipple.map((mm, i) => mm - rampMm[i]!),
  })
  const mayBeRipple = (): boolean =>
    hiddenRipple(travelMm, options.leadscrewPitchMm) > 0 ||
    (fewTurns && varyingSpeed(beyondLineAndRipple(track, options.leadscrewPitchMm)) === null)
  if (varying === null || mayBeRipple())
    return { feed: { ...asFeed(told, floor), ripple }, speedSpread: 0, rampShare }
  // The fitted ramp may in truth be the varying speed, so that its share of the mean speed is counted in.
  const rampMmPerS = rampMm === null ? 0 : (rampMm.at(-1)! - rampMm[0]!) / spanOf(track.timeS)
  const offMmPerS = told.slopeMmPerS - varying.meanMmPerS - rampMmPerS
  const standardErrorMmPerS = Math.hypot(told.standardErrorMmPerS, offMmPerS, varying.standardErrorMmPerS)
  return {
    feed: { ...asFeed({ ...told, standardErrorMmPerS }, floor), ripple },
    speedSpread: varying.spread,
    rampShare,
  }
}

/** The standard error is that of the plain line where that one is larger. */
function shortTravel(track: Track, line: SlopeFit, options: SteadyFeedOptions): Slope {
  if (line.residualSumOfSquares === 0) return line
  const slope = shortTravelSlope(track, options.leadscrewPitchMm)
  return { ...slope, standardErrorMmPerS: Math.max(slope.standardErrorMmPerS, line.standardErrorMmPerS) }
}

function asFeed(slope: Slope, floorMmPerS: number): Omit<RunFeed, 'ripple'> {
  const feedMmPerMin = 60 * Math.abs(slope.slopeMmPerS)
  const standardUncertaintyMmPerMin = 60 * Math.max(slope.standardErrorMmPerS, floorMmPerS)
  const half = studentTQuantile(0.975, slope.degreesOfFreedom) * standardUncertaintyMmPerMin
  return {
    feedMmPerMin,
    standardUncertaintyMmPerMin,
    degreesOfFreedom: slope.degreesOfFreedom,
    interval95MmPerMin: [feedMmPerMin - half, feedMmPerMin + half],
  }
}

type Slope = Pick<SlopeFit, 'slopeMmPerS' | 'standardErrorMmPerS' | 'degreesOfFreedom'>

/**
 * Standard uncertainty of the slope, mm/s, from rounding to the position step alone, for positions spread
 * evenly over the steps: (q/√12)·√(12/n)/T. It keeps an exact staircase from claiming no uncertainty at all.
 */
function quantisationFloor(track: Track, samples: number, positionStepMm: number): number {
  return positionStepMm / (Math.sqrt(samples) * spanOf(track.timeS))
}

function spanOf(timeS: ArrayLike<number>): number {
  return timeS.length === 0 ? 0 : timeS[timeS.length - 1]! - timeS[0]!
}
