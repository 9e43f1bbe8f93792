import { describe, expect, it } from 'vitest'
import { evaluateCubic, pchip } from '../../src/numbers/pchip.js'

// Data RPN 14: F. N. Fritsch and R. E. Carlson, SIAM J. Numer. Anal. 17 (1980) 238-246.
// Slopes and values: scipy 1.x PchipInterpolator, confirmed by an independent 60-digit implementation.
const rpn14 = {
  x: [7.99, 8.09, 8.19, 8.7, 9.2, 10, 12, 15, 20],
  y: [0, 2.76429e-5, 0.0437498, 0.169183, 0.469428, 0.94374, 0.998636, 0.999919, 0.999994],
  slope: [
    0, 0.000552508681868, 0.335876834608, 0.349449167686, 0.596958238927, 0.060321845523, 0.000900395382769,
    3.14246836304e-5, 0,
  ],
  at: [8.04, 8.14, 8.445, 8.95, 9.6, 11, 13.5, 17.5],
  value: [
    6.91509147665e-6, 0.0176971673759, 0.105601163766, 0.303836183047, 0.76024763934, 0.986043362535,
    0.999603364012, 0.999976140427,
  ],
}

// Titanium heat data (subset, as transcribed in public spline test code); results as above. Not monotone.
const titanium = {
  x: [595, 635, 695, 795, 855, 875, 895, 915, 935, 985, 1035, 1075],
  y: [0.644, 0.652, 0.644, 0.694, 0.907, 1.336, 2.169, 1.598, 0.916, 0.607, 0.603, 0.608],
  slope: [
    0.000333333333333, 0, 0, 0.000935236004391, 0.00691725965178, 0.0283167194929, 0, -0.031079169992,
    -0.0116136513935, -0.000157955271565, 0, 0.000216111111111,
  ],
  at: [615, 665, 745, 825, 865, 885, 905, 925, 960, 1010, 1055],
  value: [
    0.649666666667, 0.648, 0.657309549945, 0.755634822645, 1.0680013504, 1.82329179873, 1.96119792498,
    1.2083362035, 0.689901899238, 0.604012779553, 0.604419444444,
  ],
}

describe.each([
  ['RPN 14', rpn14],
  ['titanium', titanium],
])('pchip on the %s data', (_name, data) => {
  const cubic = pchip(data.x, data.y)

  it('has the published rule’s slopes to 11 digits', () => {
    data.slope.forEach((slope, i) => {
      expect(Math.abs(cubic.slope[i]! - slope)).toBeLessThanOrEqual(1e-11 * Math.max(Math.abs(slope), 1e-3))
    })
  })

  it('has the reference values between the knots', () => {
    data.at.forEach((at, i) => {
      expect(Math.abs(evaluateCubic(cubic, at) / data.value[i]! - 1)).toBeLessThan(1e-11)
    })
  })

  it('passes through every knot', () => {
    data.x.forEach((x, i) => {
      expect(evaluateCubic(cubic, x)).toBe(data.y[i])
    })
  })
})

describe('pchip', () => {
  it('is the straight line through two points and goes on straight outside', () => {
    const line = pchip([1, 3], [2, 6])
    expect(evaluateCubic(line, 2)).toBe(4)
    expect(evaluateCubic(line, 5)).toBe(10)
    expect(evaluateCubic(line, 0)).toBe(0)
  })

  it('gives a straight line back at a far origin', () => {
    const cubic = pchip([1e9, 1e9 + 1, 1e9 + 3], [1, 2, 4])
    expect(evaluateCubic(cubic, 1e9 + 2)).toBe(3)
  })

  it('refuses one point and knots that do not rise', () => {
    expect(() => pchip([1], [1])).toThrow(RangeError)
    expect(() => pchip([1, 1], [1, 2])).toThrow(RangeError)
    expect(() => pchip([1, Number.NaN], [1, 2])).toThrow(RangeError)
  })
})
