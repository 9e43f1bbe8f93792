import { leastSquares } from '../numbers/index.js'
import { blockMeans, type Phases } from '../traverse/index.js'

/** Samples of one traverse, and which of them its feed was taken from. */
export interface RunSamples {
  /** Arrival times, s, any origin. */
  readonly timeS: Float64Array
  readonly positionMm: Float64Array
  /** Indices of the kept samples of the steady part. */
  readonly steadyIndices: Int32Array
}

/** What is drawn of a run; times from the start of its window. */
export interface RunTrack {
  readonly timeS: readonly number[]
  readonly positionMm: readonly number[]
  /** Null where no steady part was found. */
  readonly phases: Phases | null
  readonly steady: SteadyResiduals | null
}

/** How far the steady part lies from a straight line of position on time. */
export interface SteadyResiduals {
  readonly timeS: readonly number[]
  readonly residualMm: readonly number[]
  /** The leadscrew's ripple as fitted, at the same times; null without one. */
  readonly rippleMm: readonly number[] | null
}

/** Points drawn at most. Judgement: three to a pixel of the picture's width. */
const MOST_POINTS = 3000
/** Samples below which no track is drawn (judgement: fewer are no picture of a traverse). */
const FEWEST_SAMPLES = 5

/**
 * A run as it is drawn: its track, and the residuals of its steady part from the straight line that least squares fit
 * beside the ripple. Long runs are averaged to blocks.
 *
 * @param ripple period, mm, of the ripple that the run's judgement found, or null
 */
export function runTrack(
  samples: RunSamples,
  phases: Phases | null,
  ripple: { readonly periodMm: number } | null,
): RunTrack {
  const originS = samples.timeS[0] ?? 0
  const since = (timeS: number) => timeS - originS
  return {
    ...averaged(samples.timeS, samples.positionMm, originS),
    phases: phases && {
      startS: since(phases.startS),
      steadyFromS: since(phases.steadyFromS),
      steadyToS: since(phases.steadyToS),
      endS: since(phases.endS),
    },
    steady:
      phases === null || samples.steadyIndices.length < FEWEST_SAMPLES
        ? null
        : steadyResiduals(samples, originS, ripple),
  }
}

function steadyResiduals(
  { timeS, positionMm, steadyIndices }: RunSamples,
  originS: number,
  ripple: { readonly periodMm: number } | null,
): SteadyResiduals {
  const { timeS: timesS, positionMm: positions } = averaged(
    Float64Array.from(steadyIndices, (index) => timeS[index]!),
    Float64Array.from(steadyIndices, (index) => positionMm[index]!),
    originS,
  )
  const times = Float64Array.from(timesS)
  const turns = Float64Array.from(positions, (position) => (2 * Math.PI * position) / (ripple?.periodMm ?? 1))
  const middleS = (times[0]! + times.at(-1)!) / 2
  const fit = leastSquares(
    [
      times.map(() => 1),
      times.map((at) => at - middleS),
      ...(ripple === null ? [] : [turns.map(Math.sin), turns.map(Math.cos)]),
    ],
    Float64Array.from(positions),
  )
  const [height, slope, sine, cosine] = fit.coefficients as [number, number, number?, number?]
  return {
    timeS: timesS,
    residualMm: positions.map((position, i) => position - height - slope * (timesS[i]! - middleS)),
    rippleMm:
      sine === undefined || cosine === undefined
        ? null
        : Array.from(turns, (turn) => sine * Math.sin(turn) + cosine * Math.cos(turn)),
  }
}

/** Blocks of neighbours where there are too many samples to show; times from `originS` on. */
function averaged(
  timeS: Float64Array,
  positionMm: Float64Array,
  originS: number,
): { timeS: number[]; positionMm: number[] } {
  // Blocks count from the first sample, which is put back here.
  const blocks = blockMeans(timeS, positionMm, MOST_POINTS)
  const [firstS, firstMm] = [timeS[0] ?? 0, positionMm[0] ?? 0]
  return {
    timeS: Array.from(blocks.timeS, (at) => at + firstS - originS),
    positionMm: Array.from(blocks.positionMm, (position) => position + firstMm),
  }
}
