import { type DeviceClockFault, findClockFaults } from './device-clock-fault.js'

/** The rate of a readout's clock against the host's. */
export interface DeviceClockFit {
  /** Host seconds per device second. */
  readonly rate: number
  /** Standard uncertainty of the rate, relative: 1e-6 is 1 ppm. */
  readonly standardUncertainty: number
  /** Samples kept by the fit. */
  readonly samplesUsed: number
  /** Host time from the first to the last sample looked at, s. */
  readonly spanS: number
  /** Null for a sound clock. After a jump or stop, the rate is that of the longest sound stretch. */
  readonly fault: DeviceClockFault | null
}

/** A clock rate for a session, pooled from its recordings. */
export interface PooledClockRate {
  readonly rate: number
  readonly standardUncertainty: number
}

/** Ceramic resonators are off by 0.5 % at most (common practice, no source); beyond this it is no clock. */
const MOST_OFF_RATE = 0.05
/** Arrivals later than this many robust standard deviations are left out. */
const LATE_LIMIT = 4
const FEWEST_SAMPLES = 10
const SHORTEST_SPAN_S = 1

/**
 * Fits host time as a straight line over device time by least squares. An arrival is late by a delay
 * that is never negative: its mean falls into the intercept, and lines that are late beyond the others
 * (the computer was busy) are left out, on that side only. Delays of neighbouring lines are alike, so
 * the uncertainty is the larger of the plain one and that of Newey and West (Econometrica 55, 1987),
 * lag ⌊4(n/100)^(2/9)⌋ + 1, factor n/(n − 2).
 *
 * @param hostTimeS arrival times, s
 * @param deviceTimeS the readout's own unwrapped time, s, of the same length
 * @returns null with fewer than 10 samples or less than 1 s of sound clock: too little to tell a rate
 */
export function fitDeviceClock(hostTimeS: Float64Array, deviceTimeS: Float64Array): DeviceClockFit | null {
  const { first, longestSound } = findClockFaults(hostTimeS, deviceTimeS)
  const host = hostTimeS.subarray(longestSound.from, longestSound.to)
  const device = deviceTimeS.subarray(longestSound.from, longestSound.to)
  const spanS = host.length > 0 ? host.at(-1)! - host[0]! : 0
  if (host.length < FEWEST_SAMPLES || spanS < SHORTEST_SPAN_S) return null
  let kept: Int32Array = Int32Array.from(host, (_, i) => i)
  let line = fitLine(device, host, kept)
  // Settles within a few rounds; the limit only guards against going to and fro between two sets.
  for (let round = 0; round < 10; round += 1) {
    const inTime = withoutLate(device, host, line)
    if (inTime.length === kept.length || inTime.length < FEWEST_SAMPLES) break
    kept = inTime
    line = fitLine(device, host, kept)
  }
  const offRate = Math.abs(line.slope - 1) > MOST_OFF_RATE
  return {
    rate: line.slope,
    standardUncertainty: slopeError(device, host, kept, line) / Math.abs(line.slope),
    samplesUsed: kept.length,
    spanS,
    fault: first ?? (offRate ? { kind: 'off-rate', atS: host[0]! } : null),
  }
}

/**
 * Pools the rates of several recordings of one session by the inverse of their variances. Where they
 * scatter more than their uncertainties allow (the resonator warms up), the uncertainty is widened by
 * the ratio of Birge (Physical Review 40, 1932).
 *
 * @returns null without a single sound fit
 */
export function poolClockRates(fits: readonly DeviceClockFit[]): PooledClockRate | null {
  const sound = fits.filter((fit) => fit.fault === null && fit.standardUncertainty > 0)
  if (sound.length === 0) return null
  const weights = sound.map((fit) => 1 / fit.standardUncertainty ** 2)
  const weight = weights.reduce((sum, one) => sum + one, 0)
  // Differences from the first rate keep all digits of a mean of numbers that all are near 1.
  const base = sound[0]!.rate
  const rate = base + sound.reduce((sum, fit, i) => sum + weights[i]! * (fit.rate - base), 0) / weight
  const chiSquared = sound.reduce((sum, fit, i) => sum + weights[i]! * (fit.rate - rate) ** 2, 0)
  const birge = sound.length > 1 ? Math.sqrt(chiSquared / (sound.length - 1)) : 1
  return { rate, standardUncertainty: Math.max(1, birge) / Math.sqrt(weight) }
}

interface Line {
  readonly slope: number
  readonly meanX: number
  readonly meanY: number
  /** Sum of squares of x about its mean. */
  readonly sxx: number
}

function fitLine(x: Float64Array, y: Float64Array, kept: Int32Array): Line {
  let meanX = 0
  let meanY = 0
  for (const i of kept) {
    meanX += (x[i]! - x[0]!) / kept.length
    meanY += (y[i]! - y[0]!) / kept.length
  }
  meanX += x[0]!
  meanY += y[0]!
  let sxx = 0
  let sxy = 0
  for (const i of kept) {
    sxx += (x[i]! - meanX) ** 2
    sxy += (x[i]! - meanX) * (y[i]! - meanY)
  }
  return { slope: sxy / sxx, meanX, meanY, sxx }
}

function residual(line: Line, x: number, y: number): number {
  return y - line.meanY - line.slope * (x - line.meanX)
}

/** Indices of all but the late arrivals; the scatter is judged by the median absolute deviation. */
function withoutLate(x: Float64Array, y: Float64Array, line: Line): Int32Array {
  const residuals = Float64Array.from(x, (value, i) => residual(line, value, y[i]!))
  const median = middle(residuals)
  const scatter = 1.4826 * middle(residuals.map((value) => Math.abs(value - median)))
  const limit = median + LATE_LIMIT * scatter
  return Int32Array.from(residuals.keys()).filter((i) => scatter === 0 || residuals[i]! <= limit)
}

function middle(values: Float64Array): number {
  return Float64Array.from(values).sort()[Math.floor(values.length / 2)]!
}

function slopeError(x: Float64Array, y: Float64Array, kept: Int32Array, line: Line): number {
  const n = kept.length
  const scores = new Float64Array(n)
  let squares = 0
  kept.forEach((index, i) => {
    const r = residual(line, x[index]!, y[index]!)
    squares += r * r
    scores[i] = r * (x[index]! - line.meanX)
  })
  const lag = Math.floor(4 * (n / 100) ** (2 / 9)) + 1
  let meat = 0
  for (let l = 0; l <= lag; l += 1) {
    let sum = 0
    for (let i = l; i < n; i += 1) sum += scores[i]! * scores[i - l]!
    meat += (l === 0 ? 1 : 2 * (1 - l / (lag + 1))) * sum
  }
  const plain = squares / (n - 2) / line.sxx
  const neweyWest = ((n / (n - 2)) * meat) / line.sxx ** 2
  return Math.sqrt(Math.max(plain, neweyWest))
}
