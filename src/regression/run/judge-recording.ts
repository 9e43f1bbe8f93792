import type { IngestedSamples, LineRejectionCode } from '../../ingest/index.js'
import { evenTimes, findLevels, findTraverses, type Traverse, type Warning } from '../../traverse/index.js'
import { formatBothLengths } from '../../units/index.js'
import { batchUncertainty, linesTogether } from './batched-arrival.js'
import { rampRefusal } from './ramp-limit.js'
import type { RunFeed } from './run-feed.js'
import {
  type ByteTime,
  type ClockRate,
  inHostTime,
  type TimedFeed,
  unwiredTimes,
  widened,
  withWireUncertainty,
} from './run-time.js'
import { hiddenRipple } from './short-travel.js'
import { type SteadyFit, steadyFit } from './steady-feed.js'

/** Name and version of the judgement; a change that moves a run's numbers raises the version. */
export const JUDGE_METHOD = 'steady-slope 11'

interface JudgeOptions {
  /** Pitch of the leadscrew, mm, where it is known. */
  readonly leadscrewPitchMm?: number
  /** Rate of the device clock over the session; without it the samples' device times are not used. */
  readonly deviceClock?: ClockRate
  /** What a byte takes on the wire; without it lines of different lengths count as equally late. */
  readonly wireTime?: ByteTime
  /** The dial was turned through so many settings in one travel: each level of speed is a run. */
  readonly levels?: number
}

/** One traverse of a recording, judged. */
export interface JudgedRun {
  readonly traverse: Traverse
  /** Null where the traverse is rejected. */
  readonly feed: RunFeed | null
  /** Which clock the feed was taken from, and what it leaves in the uncertainty of the feed. */
  readonly clock: { readonly kind: 'host' | 'device'; readonly uncertaintyMmPerMin: number }
  readonly samples: {
    /** Lines and samples that came within the traverse's window. */
    readonly read: number
    /** Samples that the feed was fitted to. */
    readonly used: number
    readonly rejected: Readonly<Partial<Record<LineRejectionCode | 'outlier', number>>>
  }
  readonly warnings: readonly Warning[]
}

export type RecordedSamples = Pick<IngestedSamples, 'samples' | 'rejected' | 'positionStepMm'> &
  Partial<Pick<IngestedSamples, 'warnings' | 'linesPerArrival'>>

/**
 * Share of outliers above which it is told that readout or cable want looking at. Judgement: a sound cable has
 * none; the feed is right with more.
 */
const TOLD_OUTLIER_SHARE = 0.05
/**
 * Difference between the parts of a run, as a share of its speed, from which on a varying speed is told.
 * Judgement: below 0.2 % it does not matter to any cut; from 1 % on it is told as a drift.
 */
const TOLD_SPEED_SPREAD = 0.002

/**
 * Judges a recording: finds its traverses and takes each accepted one's steady feed. Where the samples carry the
 * readout's own time and its rate over the session is known, the feed is taken from that clock or the host's,
 * whichever tells it better once the uncertainty of the rate is counted in.
 *
 * @returns one entry a traverse, in order of time; empty where the table never moved
 */
export function judgeRecording(recording: RecordedSamples, options: JudgeOptions = {}): JudgedRun[] {
  const { samples, rejected, positionStepMm } = recording
  const linesPerArrival = recording.linesPerArrival ?? linesTogether(samples.timeS)
  const lines = { positionStepMm, rejectedLines: rejected, linesPerArrival }
  const { levels: count, leadscrewPitchMm } = options
  const traverses =
    count === undefined
      ? findTraverses(samples, lines)
      : findLevels(samples, { ...lines, count, leadscrewPitchMm })
  return traverses.map((found) => {
    const told =
      found.rejection === null
        ? withOtherSpeeds(bestFeed({ ...recording, linesPerArrival }, found, options), found)
        : null
    const refusal = told === null ? null : rampRefusal(found, told.feed.feedMmPerMin, told.rampShare)
    const traverse = refusal === null ? found : { ...found, rejection: refusal }
    const best = refusal === null ? told : null
    const counts = countSamples(recording, traverse)
    return {
      traverse,
      feed: best?.feed ?? null,
      clock: { kind: best?.clock ?? 'host', uncertaintyMmPerMin: best?.clockUncertaintyMmPerMin ?? 0 },
      samples: counts,
      warnings: [
        ...traverse.warnings,
        ...(best === null ? [] : hiddenRippleWarning(recording, traverse, options)),
        ...(best === null ? [] : speedVariesWarning(best, traverse)),
        ...outlierWarning(counts),
        ...(recording.warnings ?? []),
      ],
    }
  })
}

type JudgedFeed = TimedFeed & Omit<SteadyFit, 'feed'>

function bestFeed(
  recording: RecordedSamples & { readonly linesPerArrival: number },
  traverse: Traverse,
  options: JudgeOptions,
): JudgedFeed & { readonly clock: JudgedRun['clock']['kind'] } {
  const { positionMm, deviceTimeS } = recording.samples
  const indices = traverse.steadyIndices
  const fitOptions = {
    positionStepMm: recording.positionStepMm,
    rampsLeft: traverse.rampsLeft,
    ...(options.leadscrewPitchMm === undefined ? {} : { leadscrewPitchMm: options.leadscrewPitchMm }),
  }
  const positions = pick(positionMm, indices)
  const fitBy = (timeS: Float64Array) => steadyFit(timeS, positions, fitOptions)
  const host = inBatches(
    hostFeed(recording.samples, indices, fitBy, options),
    () => fitBy(evenTimes(pick(recording.samples.timeS, indices), indices)),
    // Where the table sticks and slips, a reading in the steady part stands for the lines of a whole stand.
    indices.at(-1)! - indices[0]! + 1,
    recording.linesPerArrival,
  )
  const deviceTimes = deviceTimeS === null ? null : pick(deviceTimeS, indices)
  if (options.deviceClock === undefined || deviceTimes === null || !rises(deviceTimes)) {
    return { ...host, clock: 'host' }
  }
  const fit = steadyFit(deviceTimes, positions, fitOptions)
  const device = { ...fit, ...inHostTime(fit.feed, options.deviceClock) }
  return device.feed.standardUncertaintyMmPerMin < host.feed.standardUncertaintyMmPerMin
    ? { ...device, clock: 'device' }
    : { ...host, clock: 'host' }
}

/** A feed with what other speeds that the table kept on the way leave uncertain in it. */
function withOtherSpeeds<T extends JudgedFeed>(judged: T, { otherSpeedShare = 0 }: Traverse): T {
  return { ...judged, feed: widened(judged.feed, otherSpeedShare * judged.feed.feedMmPerMin).feed }
}

/**
 * A feed by arrival times with what lines that came in batches leave uncertain in it. A speed that varies by these times
 * alone, and not where the lines are placed evenly, is the saw tooth of the batches: the feed keeps its wider interval.
 */
function inBatches(
  judged: JudgedFeed,
  placedEvenly: () => SteadyFit,
  lines: number,
  linesPerArrival: number,
): JudgedFeed {
  const share = batchUncertainty(lines, linesPerArrival)
  if (share === 0) return judged
  const { feed, clockUncertaintyMmPerMin: before } = judged
  const timed = widened(feed, share * feed.feedMmPerMin)
  const speedSpread = judged.speedSpread === 0 ? 0 : Math.min(judged.speedSpread, placedEvenly().speedSpread)
  return {
    ...judged,
    ...timed,
    speedSpread,
    clockUncertaintyMmPerMin: Math.hypot(before, timed.clockUncertaintyMmPerMin),
  }
}

/** The feed by arrival times, which are later the longer a line is. */
function hostFeed(
  { timeS, lineBytes }: RecordedSamples['samples'],
  indices: Int32Array,
  fitBy: (timeS: Float64Array) => SteadyFit,
  { wireTime }: JudgeOptions,
): JudgedFeed {
  const arrivalS = pick(timeS, indices)
  if (wireTime === undefined || lineBytes === undefined) {
    return { ...fitBy(arrivalS), clockUncertaintyMmPerMin: 0 }
  }
  const bytes = pick(lineBytes, indices)
  const fit = fitBy(unwiredTimes(arrivalS, bytes, wireTime))
  return { ...fit, ...withWireUncertainty(fit.feed, arrivalS, bytes, wireTime) }
}

function countSamples(recording: RecordedSamples, traverse: Traverse): JudgedRun['samples'] {
  const { timeS } = recording.samples
  const { from, to } = traverse.window
  const fromS = from === 0 ? Number.NEGATIVE_INFINITY : timeS[from]!
  const toS = to >= timeS.length ? Number.POSITIVE_INFINITY : timeS[to]!
  const rejected: Partial<Record<LineRejectionCode | 'outlier', number>> = {}
  let lines = 0
  for (const line of recording.rejected) {
    if (line.timeS < fromS || line.timeS >= toS) continue
    lines++
    rejected[line.code] = (rejected[line.code] ?? 0) + 1
  }
  if (traverse.outliers > 0) rejected.outlier = traverse.outliers
  return { read: to - from + lines, used: traverse.steadyIndices.length, rejected }
}

function hiddenRippleWarning(
  { samples: { positionMm } }: RecordedSamples,
  { steadyIndices }: Traverse,
  { leadscrewPitchMm }: JudgeOptions,
): Warning[] {
  const travelMm = Math.abs(positionMm[steadyIndices.at(-1)!]! - positionMm[steadyIndices[0]!]!)
  const offPercent = 200 * hiddenRipple(travelMm, leadscrewPitchMm)
  if (offPercent === 0) return []
  const screw = leadscrewPitchMm === undefined ? 'a usual leadscrew' : 'the leadscrew'
  return [
    {
      code: 'ripple-hidden',
      message: `The steady part of ${formatBothLengths(travelMm)} is less than one and a half turns of ${screw}, whose ripple may put this feed off by ${offPercent.toFixed(1)} %. Travel further.`,
    },
  ]
}

function speedVariesWarning({ speedSpread }: JudgedFeed, { warnings }: Traverse): Warning[] {
  if (speedSpread < TOLD_SPEED_SPREAD || warnings.some(({ code }) => /^speed-(drifts|varies)$/.test(code)))
    return []
  return [
    {
      code: 'speed-varies',
      message: `The speed varied by ${(100 * speedSpread).toFixed(1)} % over the steady part; the feed is its mean.`,
    },
  ]
}

function outlierWarning(counts: JudgedRun['samples']): Warning[] {
  const outliers = counts.rejected.outlier ?? 0
  if (outliers <= TOLD_OUTLIER_SHARE * counts.read) return []
  return [
    {
      code: 'many-outliers',
      message: `${outliers} of ${counts.read} readings jumped away and back and were left out: check the readout's cable.`,
    },
  ]
}

function pick(values: Float64Array, indices: Int32Array): Float64Array {
  const picked = new Float64Array(indices.length)
  for (let i = 0; i < indices.length; i++) picked[i] = values[indices[i]!]!
  return picked
}

function rises(times: Float64Array): boolean {
  for (let i = 0; i < times.length; i++) {
    if (!Number.isFinite(times[i]!) || (i > 0 && times[i]! < times[i - 1]!)) return false
  }
  return true
}
