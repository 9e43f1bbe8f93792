import { median } from 'simple-statistics'
import type { SampleSeries } from '../../ingest/index.js'
import type { Track } from '../block-means.js'

/** Samples fit for a judgement, with the way back to where they came from. */
export interface UsableSamples extends Track {
  /** Index of each in the series it came from. */
  readonly index: Int32Array
  /** Indices in that series of the samples taken out as outliers. */
  readonly outliers: readonly number[]
  /** Standard deviation of a single position beside its neighbours, mm; 0 where rounding hides it. */
  readonly noiseMm: number
  /** Usual time between samples, s. */
  readonly periodS: number
}

/**
 * Steps of the readout by which a sample may differ from its neighbours before Hampel's rule is asked. Derived as
 * `REST_BAND_STEPS`.
 */
const OUTLIER_FLOOR_STEPS = 2.5
/**
 * The same in standard deviations of the noise. Judgement: the second difference of three sound samples passes 6
 * (2.4 of its own) once in seventy, which costs the rule's time alone.
 */
const OUTLIER_FLOOR_NOISE = 6
/**
 * Hampel's rule: three standard deviations, estimated from the median absolute deviation (F. R. Hampel, J.
 * American Statistical Association 69 (1974) 383-393).
 */
const OUTLIER_LIMIT = 3 * 1.4826
/**
 * Passes of the rule: bursts of bad readings hide each other, and each pass uncovers some more. Judgement: bursts
 * longer than five are found by `findBursts`.
 */
const OUTLIER_PASSES = 5
/**
 * Passes that leave the trend in: gross readings would spoil it, small ones hide behind it. Judgement: two remove
 * pairs of gross readings.
 */
const GROSS_PASSES = 2
/**
 * Samples, evenly taken, for a median. Derived: its standard error is then 1.25/√4096, 2 % of their scatter.
 */
const MEDIAN_SAMPLES = 4096

/**
 * Leaves out samples that are not numbers, that go back in time, and outliers by Hampel's rule over five points
 * (Hampel 1974): further than three scaled median absolute deviations from the median of itself and two
 * neighbours on either side, their common trend taken out. Neighbours in order, not in time: late and bunched arrival does not make an outlier.
 */
export function usableSamples(samples: SampleSeries, positionStepMm: number): UsableSamples {
  const ordered = inOrder(samples)
  const noiseMm = noiseBesideNeighbours(ordered.positionMm)
  const floorMm = Math.max(OUTLIER_FLOOR_STEPS * positionStepMm, OUTLIER_FLOOR_NOISE * noiseMm)
  const outliers: number[] = []
  let picked: Ordered = ordered
  for (let pass = 0; pass < OUTLIER_PASSES; pass++) {
    const bad: number[] = []
    for (let i = 0; i < picked.index.length; i++) {
      if (isOutlier(picked.positionMm, i, floorMm, pass >= GROSS_PASSES)) bad.push(i)
    }
    for (const i of bad) outliers.push(picked.index[i]!)
    if (bad.length > 0) picked = without(picked, bad)
    else if (pass >= GROSS_PASSES) break
  }
  outliers.sort((a, b) => a - b)
  return { ...picked, outliers, noiseMm, periodS: usualPeriod(picked.timeS) }
}

/** The same without the samples at `bad` (rising), which join the outliers. */
export function withoutSamples(samples: UsableSamples, bad: readonly number[]): UsableSamples {
  if (bad.length === 0) return samples
  const outliers = [...samples.outliers, ...bad.map((i) => samples.index[i]!)].sort((a, b) => a - b)
  return { ...samples, ...without(samples, bad), outliers }
}

type Ordered = Pick<UsableSamples, 'timeS' | 'positionMm' | 'index'>

function inOrder(samples: SampleSeries): Ordered {
  const n = samples.timeS.length
  const kept = new Int32Array(n)
  let count = 0
  let latest = Number.NEGATIVE_INFINITY
  for (let i = 0; i < n; i++) {
    const time = samples.timeS[i]!
    if (!Number.isFinite(time) || !Number.isFinite(samples.positionMm[i]!) || time < latest) continue
    latest = time
    kept[count++] = i
  }
  const index = kept.subarray(0, count)
  if (count === n) return { timeS: samples.timeS, positionMm: samples.positionMm, index }
  return { timeS: gather(samples.timeS, index), positionMm: gather(samples.positionMm, index), index }
}

/** The samples whose position in `from` is not in `bad` (rising). */
function without(from: Ordered, bad: readonly number[]): Ordered {
  const kept = new Int32Array(from.index.length - bad.length)
  let next = 0
  let count = 0
  for (let i = 0; i < from.index.length; i++) {
    if (bad[next] === i) next++
    else kept[count++] = i
  }
  const index = new Int32Array(count)
  for (let i = 0; i < count; i++) index[i] = from.index[kept[i]!]!
  return { timeS: gather(from.timeS, kept), positionMm: gather(from.positionMm, kept), index }
}

function gather(values: Float64Array, at: Int32Array): Float64Array {
  const gathered = new Float64Array(at.length)
  for (let i = 0; i < at.length; i++) gathered[i] = values[at[i]!]!
  return gathered
}

/**
 * Hampel's rule on five positions, less their own trend (the median of their steps) where `detrend`. Steps that are uneven because
 * lines were lost leave the middle one with the majority; only a value that comes back again stands out.
 */
function isOutlier(positionMm: Float64Array, i: number, floorMm: number, detrend: boolean): boolean {
  const before = positionMm[i - 1]
  const after = positionMm[i + 1]
  const here = positionMm[i]!
  // Near the middle of its neighbours, so no outlier: nearly every sample ends here and needs no sorting.
  if (before !== undefined && after !== undefined && Math.abs(before - 2 * here + after) <= floorMm)
    return false
  const around = [...positionMm.subarray(Math.max(0, i - 2), i + 3)]
  if (around.length < 4) return false
  const trend = !detrend ? 0 : median(around.slice(1).map((value, j) => value - around[j]!))
  const level = around.map((value, j) => value - j * trend)
  const centre = median(level)
  const off = Math.abs(level[Math.min(2, i)]! - centre)
  return off > floorMm && off > OUTLIER_LIMIT * median(level.map((value) => Math.abs(value - centre)))
}

/** From the median of second differences, which neither travel nor a few jumps move. */
function noiseBesideNeighbours(positionMm: Float64Array): number {
  const bends: number[] = []
  const stride = Math.max(1, Math.floor(positionMm.length / MEDIAN_SAMPLES))
  for (let i = 1; i < positionMm.length - 1; i += stride) {
    bends.push(Math.abs(positionMm[i - 1]! - 2 * positionMm[i]! + positionMm[i + 1]!))
  }
  return bends.length === 0 ? 0 : median(bends) / (0.6745 * Math.sqrt(6))
}

/** Over spans of ten samples, so that lines that arrive in bunches count as what they are. */
function usualPeriod(timeS: Float64Array): number {
  const span = Math.min(10, timeS.length - 1)
  if (span < 1) return 0
  const stride = Math.max(1, Math.floor(timeS.length / MEDIAN_SAMPLES))
  const periods: number[] = []
  for (let i = span; i < timeS.length; i += stride) periods.push((timeS[i]! - timeS[i - span]!) / span)
  return median(periods)
}
