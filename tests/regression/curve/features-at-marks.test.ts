import { describe, expect, it } from 'vitest'
import {
  factorInPlace,
  normalLogDensity,
  seededNormal,
  solveLowerInPlace,
} from '../../../src/numbers/index.js'
import {
  featuresAtMarks,
  logGainOfOne,
  logGainOfTwo,
  whitenFeatures,
} from '../../../src/regression/curve/features-at-marks.js'

const N = 5
const normal = seededNormal(11)
const drawn = (length: number) => Array.from({ length }, () => normal())
const root = drawn(N * N)
/** A covariance: the square of a drawn matrix, and something on the diagonal. */
const covariance = Float64Array.from({ length: N * N }, (_, at) => {
  const [i, j] = [Math.floor(at / N), at % N]
  const square = Array.from({ length: N }, (_, k) => root[i * N + k]! * root[j * N + k]!)
  return square.reduce((sum, value) => sum + value, i === j ? 0.5 : 0)
})
const measured = Float64Array.from(drawn(N))

/** Log density of what is measured where these features, each of unit variance, are in its covariance. */
function logDensity(features: readonly (readonly number[])[]): number {
  const factor = covariance.map((value, at) =>
    features.reduce((sum, feature) => sum + feature[Math.floor(at / N)]! * feature[at % N]!, value),
  )
  factorInPlace(factor, N)
  const whitened = measured.slice()
  solveLowerInPlace(factor, N, whitened)
  return normalLogDensity(factor, whitened)
}

const factor = covariance.slice()
factorInPlace(factor, N)
const whitened = measured.slice()
solveLowerInPlace(factor, N, whitened)

describe.each([1, 2, 3, 4, 5, 8, 9, 11])('of %i features', (count) => {
  const directions = Array.from({ length: count }, () => drawn(N))
  const features = featuresAtMarks(directions)
  whitenFeatures(features, factor, whitened)

  it('whitenFeatures(features, factor, whitened) solves each as one alone is solved', () => {
    for (const [k, direction] of directions.entries()) {
      const alone = Float64Array.from(direction)
      solveLowerInPlace(factor, N, alone)
      expect([...features.white.subarray(k * N, (k + 1) * N)]).toEqual([...alone])
    }
  })

  it('logGainOfOne and logGainOfTwo are what the dense density gains by them', () => {
    const without = logDensity([])
    for (const [k, direction] of directions.entries()) {
      expect(logGainOfOne(features, k)).toBeCloseTo(logDensity([direction]) - without, 9)
      if (k === 0) continue
      expect(logGainOfTwo(features, 0, k)).toBeCloseTo(logDensity([directions[0]!, direction]) - without, 9)
    }
  })
})
