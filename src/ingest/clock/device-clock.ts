import {
  coefficientVariance,
  dot,
  lineAt,
  medianHigh,
  type StraightLine,
  straightLine,
} from '../../numbers/index.js'
import { type DeviceClockFault, findClockFaults } from './device-clock-fault.js'
import {
  expectedWireTime,
  type WireEvidence,
  type WireTime,
  weightedMean,
  weighWireTime,
} from './wire-time.js'

/** The rate of a readout's clock against the host's. */
export interface DeviceClockFit {
  /** Host seconds per device second, the time of the bytes on the wire taken off as well as it is known. */
  readonly rate: number
  /** Standard uncertainty of the rate, relative: 1e-6 is 1 ppm. */
  readonly standardUncertainty: number
  /** Samples kept by the fit. */
  readonly samplesUsed: number
  /** Host time from the first to the last sample looked at, s. */
  readonly spanS: number
  /** Null for a sound clock. After a jump or stop, the rate is that of the longest sound stretch. */
  readonly fault: DeviceClockFault | null
  /** The rate as if bytes took no time, its own relative standard uncertainty, and what they take by these lines. */
  readonly unwired: {
    readonly rate: number
    readonly standardUncertainty: number
    readonly wire: WireEvidence
  }
}

/** What the clocks of a session come to. */
export interface PooledClockRate {
  readonly rate: number
  /** Relative. */
  readonly standardUncertainty: number
}

/** Ceramic resonators are off by 0.5 % at most (common practice, no source); beyond this it is no clock. */
const MOST_OFF_RATE = 0.05
/**
 * Robust standard deviations beyond which a late arrival is left out. Judgement: of normal delays one in 30,000
 * goes; late ones are far beyond.
 */
const LATE_LIMIT = 4
/** Fewest samples of a rate. Judgement: eight degrees of freedom know its uncertainty to a quarter. */
const FEWEST_SAMPLES = 10
/**
 * Shortest time, s, over which a rate is fitted. Derived: a scatter of 10 ms over 1 s leaves a percent, more than
 * two clocks differ by; longer spans decide by their uncertainty.
 */
const SHORTEST_SPAN_S = 1

/**
 * Fits host time as a straight line over device time by least squares, the length of the lines beside it. An arrival
 * is late by a delay that is never negative: its mean falls into the intercept, and lines that are late beyond the
 * others (the computer was busy) are left out, on that side only. Delays of neighbouring lines are alike, so every
 * uncertainty is the larger of the plain one and that of Newey and West (Econometrica 55, 1987), lag
 * ⌊4(n/100)^(2/9)⌋ + 1, factor n/(n − 2). The two slopes are parted as by Frisch and Waugh (Econometrica 1, 1933):
 * lengths cleared of their trend tell the time of a byte, and its uncertainty goes into the rate by that trend.
 *
 * @param hostTimeS arrival times, s
 * @param deviceTimeS the readout's own unwrapped time, s, of the same length
 * @param lineBytes length of each line; left out where all are alike
 * @param expected what a byte takes on the wire as far as it is known beforehand
 * @returns null with fewer than 10 samples or less than 1 s of sound clock: too little to tell a rate
 */
export function fitDeviceClock(
  hostTimeS: Float64Array,
  deviceTimeS: Float64Array,
  lineBytes: Float64Array | null = null,
  expected: WireTime = expectedWireTime(),
): DeviceClockFit | null {
  const { first, longestSound } = findClockFaults(hostTimeS, deviceTimeS)
  const { from, to } = longestSound
  const host = hostTimeS.subarray(from, to)
  const device = deviceTimeS.subarray(from, to)
  const bytes = lineBytes?.subarray(from, to) ?? new Float64Array(host.length)
  const spanS = host.length > 0 ? host.at(-1)! - host[0]! : 0
  if (host.length < FEWEST_SAMPLES || spanS < SHORTEST_SPAN_S) return null
  let kept: Int32Array = Int32Array.from(host, (_, i) => i)
  let fit = fitBoth(host, device, bytes, kept, expected)
  // Settles within a few rounds; the limit only guards against going to and fro between two sets.
  for (let round = 0; round < 10; round += 1) {
    const inTime = withoutLate(fit.residualsS)
    if (inTime.length === kept.length || inTime.length < FEWEST_SAMPLES) break
    kept = inTime
    fit = fitBoth(host, device, bytes, kept, expected)
  }
  const offRate = Math.abs(fit.rate - 1) > MOST_OFF_RATE
  return {
    rate: fit.rate,
    standardUncertainty: fit.standardUncertainty,
    samplesUsed: kept.length,
    spanS,
    fault: first ?? (offRate ? { kind: 'off-rate', atS: host[0]! } : null),
    unwired: fit.unwired,
  }
}

/**
 * Pools the rates of several recordings of one session by the inverse of their variances, widened by Birge's ratio
 * where they scatter more than their uncertainties allow (the resonator warms up). What a byte takes on the wire is
 * the same for all of them, and so is its error.
 *
 * @param expected what a byte takes on the wire as far as it is known beforehand
 * @returns `rate` null without a single sound fit
 */
export function poolClockRates(
  fits: readonly DeviceClockFit[],
  expected: WireTime = expectedWireTime(),
): { rate: PooledClockRate | null; wireTime: WireTime } {
  const sound = fits.filter((fit) => fit.fault === null && fit.unwired.standardUncertainty > 0)
  const wireTime = weighWireTime(
    expected,
    sound.map((fit) => fit.unwired.wire),
  )
  if (sound.length === 0) return { rate: null, wireTime }
  const rates = sound.map(({ unwired }) => {
    const rate = unwired.rate - unwired.wire.bytesPerS * wireTime.secondsPerByte
    return [rate, unwired.standardUncertainty * unwired.rate] as const
  })
  const { mean, standardUncertainty, weights } = weightedMean(rates)
  const bytesPerS = sound.reduce((sum, { unwired }, i) => sum + weights[i]! * unwired.wire.bytesPerS, 0)
  const own = Math.hypot(standardUncertainty, bytesPerS * wireTime.standardUncertainty)
  return { rate: { rate: mean, standardUncertainty: own / mean }, wireTime }
}

interface BothFit {
  readonly rate: number
  readonly standardUncertainty: number
  readonly unwired: DeviceClockFit['unwired']
  /** Of all samples, the ones left out as well, s. */
  readonly residualsS: Float64Array
}

function fitBoth(
  host: Float64Array,
  device: Float64Array,
  bytes: Float64Array,
  kept: Int32Array,
  expected: WireTime,
): BothFit {
  const overDevice = lineThrough(device, host, kept)
  const growth = lineThrough(device, bytes, kept)
  const lateS = host.map((time, i) => time - lineAt(overDevice, device[i]!))
  const longer = bytes.map((length, i) => length - lineAt(growth, device[i]!))
  const overLength = lineThrough(longer, lateS, kept)
  const varies = overLength.sumOfSquaresX > 1e-9
  const secondsPerByte = varies ? overLength.slope : 0
  const own = lateS.map((late, i) => late - secondsPerByte * longer[i]!)
  const wire: WireEvidence = {
    secondsPerByte,
    standardUncertainty: varies
      ? Math.sqrt(slopeVariance(longer, own, kept, overLength))
      : Number.POSITIVE_INFINITY,
    bytesPerS: growth.slope,
  }
  const weighed = weighWireTime(expected, [wire])
  const noise = Math.sqrt(slopeVariance(device, own, kept, overDevice))
  const rate = overDevice.slope - growth.slope * weighed.secondsPerByte
  return {
    rate,
    standardUncertainty: Math.hypot(noise, growth.slope * weighed.standardUncertainty) / Math.abs(rate),
    unwired: {
      rate: overDevice.slope,
      standardUncertainty: noise / Math.abs(overDevice.slope),
      wire,
    },
    residualsS: own,
  }
}

/** The straight line through the kept points. */
function lineThrough(x: Float64Array, y: Float64Array, kept: Int32Array): StraightLine {
  return straightLine(valuesAt(kept, x), valuesAt(kept, y))
}

/** A plain loop, because a recording has thousands of lines, and each goes through four lines. */
function valuesAt(kept: Int32Array, values: Float64Array): Float64Array {
  const chosen = new Float64Array(kept.length)
  for (let k = 0; k < kept.length; k++) chosen[k] = values[kept[k]!]!
  return chosen
}

/** Variance of a line's slope by the residuals of the kept points, those of a second line taken off as well. */
function slopeVariance(
  x: Float64Array,
  residuals: Float64Array,
  kept: Int32Array,
  line: StraightLine,
): number {
  const own = valuesAt(kept, residuals)
  const influences = own.map((residual, k) => (residual * (x[kept[k]!]! - line.meanX)) / line.sumOfSquaresX)
  return coefficientVariance(influences, 1 / line.sumOfSquaresX, dot(own, own), kept.length - 2).variance
}

/** Indices of all but the late arrivals; the scatter is judged by the median absolute deviation. */
function withoutLate(residualsS: Float64Array): Int32Array {
  const median = medianHigh(residualsS)
  const scatter = 1.4826 * medianHigh(residualsS.map((value) => Math.abs(value - median)))
  const limit = median + LATE_LIMIT * scatter
  return Int32Array.from(residualsS, (_, i) => i).filter((i) => scatter === 0 || residualsS[i]! <= limit)
}
