import { inverse, Matrix, solve } from 'ml-matrix'
import { describe, expect, it } from 'vitest'
import { harmonicHelps, rippledFit, slopeFit } from '../../../src/regression/run/slope-fit.js'
import { seededUniform } from '../../traverse/simulated-traverse.js'

const uniform = seededUniform(7)
const timeS = Float64Array.from({ length: 200 }, (_, i) => 1e6 + 0.1 * i)
const PERIOD_MM = 5
const rippled = (mm: number): number => mm + 0.02 * Math.sin((2 * Math.PI * mm) / PERIOD_MM + 1)
const positionMm = timeS.map((time) => rippled(2.5 * (time - 1e6)) + 0.004 * (uniform() - 0.5))
const track = { timeS, positionMm }

describe('slopeFit(track, extra)', () => {
  it('agrees with ml-matrix, a general-purpose library for matrices, with and without extra columns', () => {
    const wave = positionMm.map((mm) => Math.sin((2 * Math.PI * mm) / PERIOD_MM))
    const square = timeS.map((time) => ((time - 1e6) / 20) ** 2)
    for (const extra of [[], [wave], [wave, square]]) {
      const design = [...timeS].map((time, i) => [1, time - 1e6 - 10, ...extra.map((column) => column[i]!)])
      const matrix = new Matrix(design)
      const observed = Matrix.columnVector([...positionMm])
      const reference = solve(matrix, observed)
      const coefficients = reference.to1DArray()
      const squares = Matrix.sub(observed, matrix.mmul(reference)).norm() ** 2
      const degreesOfFreedom = positionMm.length - 2 - extra.length
      const unscaled = inverse(matrix.transpose().mmul(matrix)).get(1, 1)
      const plainError = Math.sqrt((unscaled * squares) / degreesOfFreedom)
      const fit = slopeFit(track, extra)!
      expect(fit.slopeMmPerS).toBeCloseTo(coefficients[1]!, 9)
      expect(fit.degreesOfFreedom).toBe(degreesOfFreedom)
      expect(fit.extra.length).toBe(extra.length)
      for (const [j, value] of fit.extra.entries()) expect(value).toBeCloseTo(coefficients[j + 2]!, 9)
      // Newey and West's error is taken where it is the larger.
      expect(fit.standardErrorMmPerS).toBeGreaterThanOrEqual(plainError * (1 - 1e-9))
      expect(fit.standardErrorMmPerS ** 2 / plainError ** 2).toBeCloseTo(fit.varianceInflation, 6)
      expect(fit.residualSumOfSquares / squares).toBeCloseTo(1, 9)
    }
  })

  it('has no answer without a degree of freedom or a spread of time', () => {
    const two = { timeS: timeS.subarray(0, 2), positionMm: positionMm.subarray(0, 2) }
    expect(slopeFit(two, [])).toBeNull()
    expect(slopeFit({ timeS: new Float64Array(5), positionMm: positionMm.subarray(0, 5) }, [])).toBeNull()
  })

  it('has no answer where the columns cannot be told apart', () => {
    const wave = positionMm.map((mm) => Math.sin((2 * Math.PI * mm) / PERIOD_MM))
    expect(slopeFit(track, [wave, wave])).toBeNull()
    expect(slopeFit(track, [new Float64Array(timeS.length).fill(3)])).toBeNull()
    // Counts of a scale that were taken as inches step by five turns of a screw of 5.08 mm.
    const counts = { timeS, positionMm: timeS.map((_, i) => 25.4 * 6 * i) }
    expect(rippledFit(counts, { periodMm: 5.08, searched: false })).toBeNull()
  })
})

describe('rippledFit(track, harmonic)', () => {
  it('finds the speed and a period that was started a few percent off, and the F test keeps it', () => {
    const fit = rippledFit(track, { periodMm: 4.9, searched: true })!
    expect(fit.periodMm).toBeCloseTo(PERIOD_MM, 1)
    expect(Math.abs(fit.fit.slopeMmPerS - 2.5)).toBeLessThan(3 * fit.fit.standardErrorMmPerS)
    expect(Math.hypot(...fit.fit.harmonic)).toBeCloseTo(0.02, 2)
    expect(harmonicHelps(slopeFit(track, [])!, fit.fit)).toBe(true)
  })

  it('does not keep a harmonic of nothing', () => {
    const flat = { timeS, positionMm: timeS.map((time) => 2.5 * (time - 1e6) + 0.004 * (uniform() - 0.5)) }
    const fit = rippledFit(flat, { periodMm: PERIOD_MM, searched: false })!
    expect(harmonicHelps(slopeFit(flat, [])!, fit.fit)).toBe(false)
  })
})
