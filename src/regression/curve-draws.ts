import { type FeedScale, feedScales } from './feed-scale.js'
import {
  factorInPlace,
  LINE_VARIANCE,
  lineCovariance,
  logMarginalLikelihood,
  matern52,
  STEEPNESS_FACTOR,
  solveLowerInPlace,
  solveUpperInPlace,
} from './gaussian-process.js'
import { largestFall, riseInPlace } from './monotone.js'
import type { NoisePoint } from './noise-model.js'
import { seededNormal } from './seeded-normal.js'

/** What the curve must pass near: a mark's dial, mean feed, and the variance of that mean for each noise point. */
export interface CurveKnot {
  readonly dial: number
  readonly feedMmPerMin: number
  /** (mm/min)², one for each noise point. */
  readonly meanVariances: readonly number[]
}

/** One curve that the marks allow. */
export interface CurveDraw {
  /** mm/min at each grid dial, never falling. */
  readonly feedsMmPerMin: Float64Array
  /** The scatter that this curve was drawn with. */
  readonly noise: NoisePoint
}

export const TUNE = {
  joint: true,
  draws: 2400,
  noisePoints: 32,
  amps: 8,
  ampMin: 0.005,
  ampMax: 0.6,
  lengths: [0.35, 0.6, 1, 1.6],
}

/** Curves that fall deeper than this share of full scale are not dial curves. */
const ALLOWED_FALL = 0.002
const ENOUGH_DRAWS = 150
const LEAST_BAD_DRAWS = 300
/** Added to the prior's diagonal: far below any noise, keeps the factor of a dense grid positive. */
const JITTER = 1e-9
/** Floor of a mark's standard deviation, share of full scale: a mark that never moved has no scatter at all. */
const FLOOR = 1e-5

interface Candidate {
  readonly scale: FeedScale
  readonly values: Float64Array
  readonly amplitude: number
  readonly lengthIndex: number
  readonly noiseIndex: number
  readonly weight: number
}

export function drawCurves(
  knots: readonly CurveKnot[],
  noise: readonly NoisePoint[],
  grid: readonly number[],
  seed: number,
): CurveDraw[] {
  const n = knots.length
  const m = grid.length
  const low = grid[0]!
  const span = grid[m - 1]! - low
  const u = grid.map((dial) => (dial - low) / span)
  const at = knots.map((knot) => grid.indexOf(knot.dial))
  const fastest = Math.max(...knots.map((knot) => knot.feedMmPerMin))
  const shares = knots.map((knot) => knot.feedMmPerMin / fastest)
  const noiseIndices = representativeNoise(noise)
  const amplitudes = Array.from(
    { length: TUNE.amps },
    (_, i) => TUNE.ampMin * (TUNE.ampMax / TUNE.ampMin) ** (i / (TUNE.amps - 1)),
  )
  const kernels = TUNE.lengths.map((length) => {
    const full = new Float64Array(m * n)
    for (let i = 0; i < m; i++)
      for (let j = 0; j < n; j++) full[i * n + j] = matern52(u[i]! - u[at[j]!]!, length)
    return full
  })
  const factor = new Float64Array(n * n)
  const scratch = new Float64Array(n)
  const sdOnScale = (scale: FeedScale, j: number, q: number): number =>
    Math.max(FLOOR, Math.sqrt(knots[j]!.meanVariances[q]!) / fastest) * scale.derivative(shares[j]!)
  const fillFactor = (scale: FeedScale, amplitude: number, lengthIndex: number, q: number): boolean => {
    const kernel = kernels[lengthIndex]!
    const a2 = amplitude * amplitude
    for (let i = 0; i < n; i++) {
      for (let j = 0; j <= i; j++)
        factor[i * n + j] = lineCovariance(u[at[i]!]!, u[at[j]!]!) + a2 * kernel[at[i]! * n + j]!
      factor[i * n + i] = factor[i * n + i]! + sdOnScale(scale, i, q) ** 2 + a2 * JITTER
    }
    return factorInPlace(factor, n)
  }
  const candidates: Candidate[] = []
  for (const scale of feedScales(shares)) {
    const values = Float64Array.from(shares, scale.forward)
    const logJacobian = shares.reduce((sum, share) => sum + Math.log(scale.derivative(share)), 0)
    for (const q of noiseIndices) {
      for (let lengthIndex = 0; lengthIndex < kernels.length; lengthIndex++) {
        for (const amplitude of amplitudes) {
          if (!fillFactor(scale, amplitude, lengthIndex, q)) continue
          const weight = logMarginalLikelihood(factor, values, scratch) + logJacobian
          candidates.push({ scale, values, amplitude, lengthIndex, noiseIndex: q, weight })
        }
      }
    }
  }
  normalizeWeights(candidates, TUNE.joint ? null : noiseIndices)

  // Matheron's rule (A. G. Journel, C. J. Huijbregts, 1978): a curve of the prior, plus the correction that the
  // marks call for, is a curve of the posterior. One factor of the prior for each length serves every draw.
  const priorFactors = TUNE.lengths.map((length) => {
    const prior = new Float64Array(m * m)
    for (let i = 0; i < m; i++)
      for (let j = 0; j <= i; j++) prior[i * m + j] = matern52(u[i]! - u[j]!, length) + (i === j ? JITTER : 0)
    if (!factorInPlace(prior, m)) throw new Error('prior of the dial curve is not positive definite')
    return prior
  })
  const normal = seededNormal(seed)
  const draws: (CurveDraw & { fall: number })[] = []
  const deviates = new Float64Array(m)
  let sum = 0
  let next = 0.5
  for (const candidate of candidates) {
    sum += candidate.weight * TUNE.draws
    if (next > sum) continue
    const { scale, values, amplitude, lengthIndex, noiseIndex } = candidate
    fillFactor(scale, amplitude, lengthIndex, noiseIndex)
    const priorFactor = priorFactors[lengthIndex]!
    const kernel = kernels[lengthIndex]!
    for (; next <= sum; next++) {
      const curve = new Float64Array(m)
      const height = Math.sqrt(LINE_VARIANCE) * normal()
      const steepness = Math.sqrt(LINE_VARIANCE * STEEPNESS_FACTOR) * normal()
      for (let i = 0; i < m; i++) deviates[i] = normal()
      for (let i = 0; i < m; i++) {
        let stray = 0
        const row = i * m
        for (let k = 0; k <= i; k++) stray += priorFactor[row + k]! * deviates[k]!
        curve[i] = height + steepness * u[i]! + amplitude * stray
      }
      let total = 0
      let tilt = 0
      for (let j = 0; j < n; j++)
        scratch[j] = values[j]! - curve[at[j]!]! - sdOnScale(scale, j, noiseIndex) * normal()
      solveLowerInPlace(factor, n, scratch)
      solveUpperInPlace(factor, n, scratch)
      for (let j = 0; j < n; j++) {
        total += scratch[j]!
        tilt += scratch[j]! * u[at[j]!]!
      }
      const a2 = amplitude * amplitude
      for (let i = 0; i < m; i++) {
        let correction = 0
        for (let j = 0; j < n; j++) correction += kernel[i * n + j]! * scratch[j]!
        const z = curve[i]! + a2 * correction + LINE_VARIANCE * (total + STEEPNESS_FACTOR * u[i]! * tilt)
        curve[i] = fastest * scale.inverse(z)
      }
      draws.push({ feedsMmPerMin: curve, noise: noise[noiseIndex]!, fall: largestFall(curve) })
    }
  }
  let kept = draws.filter((draw) => draw.fall <= ALLOWED_FALL * fastest)
  if (kept.length < ENOUGH_DRAWS) kept = [...draws].sort((a, b) => a.fall - b.fall).slice(0, LEAST_BAD_DRAWS)
  return kept.map(({ feedsMmPerMin, noise }) => ({ feedsMmPerMin: riseInPlace(feedsMmPerMin), noise }))
}

/** Indices of posterior points, drawn at even steps of the summed weight: each stands for the same probability. */
function representativeNoise(noise: readonly NoisePoint[]): number[] {
  const indices: number[] = []
  let sum = 0
  noise.forEach((point, q) => {
    sum += point.weight
    while (indices.length < sum * TUNE.noisePoints - 0.5) indices.push(q)
  })
  return indices
}

function normalizeWeights(candidates: Candidate[], perNoise: readonly number[] | null): void {
  const scaleWeights = (part: Candidate[], share: number) => {
    const largest = Math.max(...part.map((c) => c.weight))
    let total = 0
    for (const c of part) total += Math.exp(c.weight - largest)
    for (const c of part) (c as { weight: number }).weight = (share * Math.exp(c.weight - largest)) / total
  }
  if (perNoise === null) scaleWeights(candidates, 1)
  else {
    const unique = [...new Set(perNoise)]
    for (const q of unique)
      scaleWeights(
        candidates.filter((c) => c.noiseIndex === q),
        perNoise.filter((p) => p === q).length / perNoise.length,
      )
  }
}
