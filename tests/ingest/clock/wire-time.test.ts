import { describe, expect, test } from 'vitest'
import { expectedWireTime, weightedMean, weighWireTime } from '../../../src/ingest/clock/wire-time.js'

describe('expectedWireTime(baudRate)', () => {
  test('reaches from no time at all to ten bits of a told baud rate', () => {
    const { secondsPerByte, standardUncertainty } = expectedWireTime(9600)
    expect(secondsPerByte - standardUncertainty).toBe(0)
    expect(secondsPerByte + standardUncertainty).toBeCloseTo(10 / 9600, 12)
  })

  test('reaches from no time at all to 9600 baud where nothing is told, within two standard uncertainties', () => {
    const { secondsPerByte, standardUncertainty } = expectedWireTime()
    expect(secondsPerByte - 2 * standardUncertainty).toBeLessThan(0)
    expect(secondsPerByte + 2 * standardUncertainty).toBeGreaterThan(10 / 9600)
  })
})

describe('weighWireTime(expected, evidence)', () => {
  const expected = { secondsPerByte: 5e-4, standardUncertainty: 4e-4 }

  test('keeps what was expected where lines tell nothing', () => {
    const silent = { secondsPerByte: 0, standardUncertainty: Number.POSITIVE_INFINITY }
    expect(weighWireTime(expected, [])).toBe(expected)
    expect(weighWireTime(expected, [silent])).toBe(expected)
    expect(weighWireTime(expected, [{ secondsPerByte: 0, standardUncertainty: 0 }])).toBe(expected)
  })

  test('weighs by the inverse of the variances', () => {
    // By hand: equal weights give the middle, and 1/sqrt(2) of the uncertainty.
    const weighed = weighWireTime(expected, [{ secondsPerByte: 1e-3, standardUncertainty: 4e-4 }])
    expect(weighed.secondsPerByte).toBeCloseTo(7.5e-4, 12)
    expect(weighed.standardUncertainty).toBeCloseTo(4e-4 / Math.SQRT2, 12)
  })

  test('believes the lines where they contradict: 2400 baud', () => {
    const own = { secondsPerByte: 10 / 2400, standardUncertainty: 1e-4 }
    expect(weighWireTime(expected, [own])).toEqual(own)
  })
})

describe('weightedMean(values)', () => {
  test('keeps all digits of numbers near each other', () => {
    const { mean, standardUncertainty, weights } = weightedMean([
      [1e9, 1],
      [1e9 + 2, 1],
    ])
    expect(mean).toBe(1e9 + 1)
    // By hand: chi² = 2 with one degree of freedom widens 1/sqrt(2) by sqrt(2).
    expect(standardUncertainty).toBeCloseTo(1, 12)
    expect(weights).toEqual([0.5, 0.5])
  })

  test('of one value is that value', () => {
    expect(weightedMean([[3, 0.5]])).toEqual({ mean: 3, standardUncertainty: 0.5, weights: [1] })
  })
})
