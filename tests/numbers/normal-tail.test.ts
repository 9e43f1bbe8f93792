import { expect, it } from 'vitest'
import { normalUpperTail } from '../../src/numbers/normal-tail.js'
import { normalCdf } from '../../src/numbers/student-t.js'

it('agrees with the library of distributions to 1.5e-7, as its source says', () => {
  for (let z = -8; z <= 8; z += 0.01) {
    expect(Math.abs(normalUpperTail(z) - normalCdf(-z))).toBeLessThan(1.5e-7)
  }
})

it('has the tails that tables print', () => {
  // M. Abramowitz, I. A. Stegun (1964), table 26.1, five digits.
  expect(normalUpperTail(1)).toBeCloseTo(0.15866, 5)
  expect(normalUpperTail(2)).toBeCloseTo(0.02275, 5)
  expect(normalUpperTail(-1)).toBeCloseTo(0.84134, 5)
})
