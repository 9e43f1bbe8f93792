import { expect, test } from 'vitest'
import { filmTiming } from '../../../src/jobs/index.js'

const SEEN = { frameS: 1 / 30, framesTold: true, refreshS: 0.1, refreshSeen: true }

test('a reading is off by where between two changes it was shown, and by its frame where nobody tells when that was', () => {
  expect(filmTiming(SEEN)).toEqual({
    person: null,
    pressSpreadS: 0.1 / Math.sqrt(12),
    degreesOfFreedom: expect.closeTo(27, 9),
  })
  const untold = filmTiming({ ...SEEN, framesTold: false }).pressSpreadS
  expect(untold).toBeCloseTo(Math.hypot(0.1, 1 / 30) / Math.sqrt(12), 12)
})

test('nobody knows how often the display changes: as seldom as a slow one', () => {
  const unknown = filmTiming({ ...SEEN, refreshS: null, refreshSeen: false })
  expect(unknown).toEqual(filmTiming({ ...SEEN, refreshS: 0.2, refreshSeen: false }))
  expect(unknown.degreesOfFreedom).toBe(10)
})
