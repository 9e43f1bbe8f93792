import { expect, test } from 'vitest'
import {
  chiSquareQuantile,
  normalCdf,
  normalQuantile,
  studentTCdf,
  studentTQuantile,
} from '../../src/numbers/student-t.js'

// GUM (JCGM 100:2008) Table G.2, 95 % column, as printed; recalled from memory, three rows checked by closed form below.
test.each([
  [1, 12.71],
  [2, 4.3],
  [3, 3.18],
  [5, 2.57],
  [10, 2.23],
  [50, 2.01],
])('studentTQuantile(0.975, %i) is %f as the GUM prints it', (df, printed) => {
  expect(studentTQuantile(0.975, df)).toBeCloseTo(printed, 2)
})

test('studentTQuantile agrees with the closed forms for 1, 2 and 4 degrees of freedom', () => {
  for (const p of [0.9, 0.95, 0.975, 0.995]) {
    const alpha = 4 * p * (1 - p)
    expect(studentTQuantile(p, 1)).toBeCloseTo(Math.tan(Math.PI * (p - 0.5)), 6)
    expect(studentTQuantile(p, 2)).toBeCloseTo((2 * p - 1) * Math.sqrt(2 / alpha), 7)
    const q = Math.cos(Math.acos(Math.sqrt(alpha)) / 3) / Math.sqrt(alpha)
    expect(studentTQuantile(p, 4)).toBeCloseTo(2 * Math.sqrt(q - 1), 7)
  }
})

test('studentTQuantile agrees with SciPy 1.x scipy.stats.t.ppf(0.975, df) to seven digits', () => {
  for (const [df, scipy] of [
    [2.5, 3.5746548420036817],
    [10, 2.228138851986274],
    [1000, 1.9623390808264083],
    [1e4, 1.960201239890626],
    [1e6, 1.959966356814107],
  ] as const) {
    expect(studentTQuantile(0.975, df)).toBeCloseTo(scipy, 7)
  }
})

test('studentTQuantile and studentTCdf undo each other, whole degrees of freedom or not', () => {
  for (const df of [0.7, 2.5, 7, 33.3, 1000, 1e5, 1e7, Number.POSITIVE_INFINITY]) {
    for (const p of [0.01, 0.3, 0.5, 0.9, 0.9995]) {
      expect(Math.abs(studentTCdf(studentTQuantile(p, df), df) - p)).toBeLessThan(1e-7)
    }
  }
})

test('normalQuantile and chiSquareQuantile agree with printed tables', () => {
  // Abramowitz and Stegun (1964), Tables 26.5 and 26.8 (from memory).
  expect(normalQuantile(0.975)).toBeCloseTo(1.959963984540054, 12)
  expect(normalCdf(1)).toBeCloseTo(0.841344746068543, 12)
  expect(chiSquareQuantile(0.95, 10)).toBeCloseTo(18.307, 3)
  expect(chiSquareQuantile(0.05, 3)).toBeCloseTo(0.35185, 5)
  // Two degrees of freedom: -2 ln(1 - p).
  expect(chiSquareQuantile(0.95, 2)).toBeCloseTo(-2 * Math.log(0.05), 12)
})

test('quantiles refuse a probability outside 0…1 and degrees of freedom at or below 0', () => {
  expect(() => studentTQuantile(1, 5)).toThrow(/between 0 and 1/)
  expect(() => studentTQuantile(Number.NaN, 5)).toThrow(/between 0 and 1/)
  expect(() => studentTQuantile(0.9, 0)).toThrow(/positive/)
  expect(() => chiSquareQuantile(0.9, Number.NaN)).toThrow(/positive/)
})
