import { describe, expect, it } from 'vitest'
import { lineCovariance, lineFrom } from '../../../src/numbers/gaussian-process/line-prior.js'
import { seededNormal } from '../../../src/numbers/seeded-normal.js'

describe('lineFrom(normal(), normal())', () => {
  it('draws lines of the covariance it is stated to have', () => {
    const normal = seededNormal(7)
    const count = 20_000
    let product = 0
    for (let k = 0; k < count; k++) {
      const line = lineFrom(normal(), normal())
      product += ((line.height + 0.5 * line.steepness) * (line.height + line.steepness)) / count
    }
    expect(product / lineCovariance(0.5, 1)).toBeCloseTo(1, 1)
  })
})
