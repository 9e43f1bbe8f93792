import { expect, test } from 'vitest'
import { tableOf } from '../../scripts/proof/shop.js'

// Seed 31: one drawn machine; the campaign over many is `npm run proof:shop`.
test('many settings in one travel make a good table in half the time of three passes', () => {
  const passes = tableOf('saturating', 31, 'passes', 0.02)
  const sweep = tableOf('saturating', 31, 'sweep', 0.02)
  expect(passes.runs).toBe(54)
  expect(sweep.reached).toBe(true)
  expect(sweep.runs).toBeGreaterThanOrEqual(18)
  expect(sweep.minutes / passes.minutes).toBeLessThan(0.5)
})
