import { expect, it } from 'vitest'
import { relativeHalfWidth } from '../../src/regression/index.js'

it('is half the interval over the feed, and nothing where the interval is not known', () => {
  expect(relativeHalfWidth({ feedMmPerMin: 200, interval95: [196, 204] })).toBeCloseTo(0.02, 12)
  expect(relativeHalfWidth({ feedMmPerMin: 200, interval95: null })).toBeNull()
})
