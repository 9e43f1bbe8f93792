import { expect, test } from 'vitest'
import { tableOf } from '../../scripts/proof/shop.js'

// Seed 31: one drawn machine; the campaign over many is `npm run proof:shop`.
test('many settings in one travel make a table in a third of the time of three passes', () => {
  const passes = tableOf('saturating', 31, 'passes', 0.02)
  const sweep = tableOf('saturating', 31, 'sweep', 0.02)
  expect(passes.runs).toBe(54)
  // Every mark twice each way.
  expect(sweep.runs).toBe(36)
  expect(sweep.minutes / passes.minutes).toBeLessThan(0.35)
  const held = sweep.places.filter((place) => place.held).length
  expect(held / sweep.places.length).toBeGreaterThan(0.5)
})
