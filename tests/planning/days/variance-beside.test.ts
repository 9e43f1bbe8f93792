import { describe, expect, it } from 'vitest'
import { beside, varianceOf } from '../../../src/planning/days/variance-beside.js'

const ALIKE = [1, 1, 1, 1]
const varianceBeside = (...group: Parameters<typeof beside>) => varianceOf([beside(...group)])

describe('varianceOf(groups)', () => {
  it('is nothing where the values agree within their own variances', () => {
    expect(varianceBeside([ALIKE], [0.01, -0.01, 0.02, 0], [1e-4, 1e-4, 4e-4, 1e-4])).toBe(0)
  })

  it('is what values of the same variance scatter beyond it', () => {
    // By hand: squares about the mean sum to 20, over 3 degrees; the variance of each, 0.5, is taken off.
    expect(varianceBeside([ALIKE], [-3, -1, 1, 3], [0.5, 0.5, 0.5, 0.5])).toBeCloseTo(20 / 3 - 0.5, 12)
  })

  it('is what R. DerSimonian and N. Laird give for values of different variances', () => {
    // Q less its degrees, over the sum of the weights less that of their squares over it (1986, equation 8).
    const [values, variances] = [
      [0, 1, 2, 6],
      [0.1, 0.2, 0.4, 0.8],
    ]
    const weights = variances!.map((one) => 1 / one)
    const sum = (of: readonly number[]) => of.reduce((total, one) => total + one, 0)
    const total = sum(weights)
    const mean = sum(weights.map((weight, k) => weight * values![k]!)) / total
    const q = sum(weights.map((weight, k) => weight * (values![k]! - mean) ** 2))
    const expected = (q - 3) / (total - sum(weights.map((weight) => weight ** 2)) / total)
    expect(varianceBeside([ALIKE], values!, variances!)).toBeCloseTo(expected, 12)
  })

  it('leaves out what the columns explain, and takes no column twice', () => {
    const slow = [0, 1, 2, 3]
    const values = slow.map((one) => 5 + 2 * one)
    const variances = [0.1, 0.1, 0.1, 0.1]
    expect(varianceBeside([ALIKE], values, variances)).toBeGreaterThan(1)
    expect(varianceBeside([ALIKE, slow], values, variances)).toBe(0)
    expect(varianceBeside([ALIKE, ALIKE.map((one) => 3 * one)], values, variances)).toBe(
      varianceBeside([ALIKE], values, variances),
    )
  })

  it('is nothing where there are no more values than columns', () => {
    expect(varianceBeside([ALIKE.slice(0, 1)], [4], [0.1])).toBe(0)
    expect(varianceBeside([], [], [])).toBe(0)
  })

  it('is the mean over several groups, those among them whose values agree', () => {
    const [apart, alike] = [
      [-3, -1, 1, 3],
      [-1, 0, 0, 1],
    ].map((values) => beside([ALIKE], values, ALIKE))
    const alone = beside([[1]], [4], [1])
    // By hand: squares about the means sum to 20 and 2, over 3 degrees each.
    expect(varianceOf([apart!, alike!])).toBeCloseTo(22 / 6 - 1, 12)
    expect(varianceOf([apart!, alike!, alone])).toBe(varianceOf([apart!, alike!]))
    expect(varianceOf([alike!, alike!])).toBe(0)
    expect(varianceOf([])).toBe(0)
  })
})
