import { describe, expect, it } from 'vitest'
import { mixtureHalfWidth, mixtureStandardDeviation } from '../../src/numbers/normal-mixture.js'
import { normalCdf, studentTQuantile } from '../../src/numbers/student-t.js'

describe('mixtureHalfWidth(parts, probability)', () => {
  it('is 1.959964 standard deviations for one part (NIST/SEMATECH e-Handbook, 1.3.6.7.1, more digits)', () => {
    expect(mixtureHalfWidth([{ standardDeviation: 2, weight: 1 }], 0.95)).toBeCloseTo(3.919928, 6)
  })

  it('holds the probability asked for, however unlike the parts', () => {
    const parts = [
      { standardDeviation: 0.001, weight: 0.7 },
      { standardDeviation: 1, weight: 0.26 },
      { standardDeviation: 50, weight: 0.04 },
    ]
    for (const probability of [0.1, 0.5, 0.9, 0.95, 0.999]) {
      const half = mixtureHalfWidth(parts, probability)
      const inside = parts.reduce(
        (sum, { standardDeviation, weight }) => sum + weight * (1 - 2 * normalCdf(-half / standardDeviation)),
        0,
      )
      expect(inside).toBeCloseTo(probability, 9)
    }
  })

  // A normal whose variance has an inverse chi-square distribution is Student's t (any textbook, e.g. A. Gelman
  // et al., Bayesian Data Analysis, 2013, section 3.2); the parts below sample that distribution finely.
  it('comes to Student’s t for a scatter known from five degrees of freedom', () => {
    const parts = Array.from({ length: 4000 }, (_, i) => {
      const logSd = -3 + (6 * (i + 0.5)) / 4000
      const variance = Math.exp(2 * logSd)
      return {
        standardDeviation: Math.sqrt(variance),
        weight: variance ** -2.5 * Math.exp(-5 / (2 * variance)),
      }
    })
    const total = parts.reduce((sum, part) => sum + part.weight, 0)
    const mixture = parts.map((part) => ({ ...part, weight: part.weight / total }))
    expect(mixtureHalfWidth(mixture, 0.95)).toBeCloseTo(studentTQuantile(0.975, 5), 4)
  })

  it('comes to nothing where no part has any width', () => {
    expect(mixtureHalfWidth([{ standardDeviation: 0, weight: 1 }], 0.95)).toBe(0)
  })
})

describe('mixtureStandardDeviation(parts)', () => {
  it('is the root of the mean variance', () => {
    expect(
      mixtureStandardDeviation([
        { standardDeviation: 3, weight: 0.5 },
        { standardDeviation: 1, weight: 0.5 },
      ]),
    ).toBeCloseTo(Math.sqrt(5), 12)
  })
})
