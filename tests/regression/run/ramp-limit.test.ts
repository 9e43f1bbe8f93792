import { expect, test } from 'vitest'
import { rampRefusal } from '../../../src/regression/run/ramp-limit.js'
import type { Traverse } from '../../../src/traverse/index.js'

/** A traverse seen whole whose start lags by so much and whose steady part lasts so long. */
function traverse(timeConstantS: number, steadyS: number): Traverse {
  return {
    direction: 1,
    window: { from: 0, to: 100 },
    cutOff: [],
    rampsLeft: { startSeen: true, start: [{ timeConstantS, share: 0.1, weight: 0.5 }], end: [] },
    phases: { startS: 0, steadyFromS: 4, steadyToS: 4 + steadyS, endS: 5 + steadyS },
    steadyIndices: new Int32Array(0),
    outliers: 0,
    distanceMm: 40,
    durationS: 5 + steadyS,
    coast: null,
    rejection: null,
    warnings: [],
  }
}

test('a drive that takes seconds is refused as long as its ramp decides the feed, and told how far to travel', () => {
  expect(rampRefusal(traverse(2, 9), 120, 0.016)).toMatchObject({
    code: 'too-short',
    message: expect.stringMatching(/^9\.0 s of travel .* Travel at least 21 s or 42\.0 mm/),
  })
  // Six time constants, or a ramp that the samples know.
  expect(rampRefusal(traverse(2, 12), 120, 0.016)).toBeNull()
  expect(rampRefusal(traverse(2, 9), 120, 0.009)).toBeNull()
  // A quick drive has settled in six seconds.
  expect(rampRefusal(traverse(0.2, 6), 120, 0.016)).toBeNull()
})

test('asks for six time constants of the drive and the guards beside them, by five seconds at most', () => {
  const asked = (timeConstantS: number) => rampRefusal(traverse(timeConstantS, 5), 120, 0.02)?.message
  expect(asked(3)).toMatch(/Travel at least 20 s or/)
  expect(asked(30)).toMatch(/Travel at least 32 s or/)
})
