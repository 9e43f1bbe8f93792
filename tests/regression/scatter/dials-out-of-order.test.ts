import { expect, test } from 'vitest'
import type { RunEvidence } from '../../../src/regression/index.js'
import { dialsOutOfOrder } from '../../../src/regression/scatter/dials-out-of-order.js'
import { NUMBERED } from '../../../src/units/index.js'

const run = (dial: number, feedMmPerMin: number, direction: 1 | -1 = 1): RunEvidence => ({
  ...{
    runId: `${direction} ${dial} ${feedMmPerMin}`,
    dial,
    direction,
    feedMmPerMin,
    setting: 'a',
    session: 'a',
  },
  ...{ standardUncertaintyMmPerMin: 1, source: 'stopwatch' },
})
const told = (...runs: readonly RunEvidence[]) => dialsOutOfOrder(runs, NUMBERED)

test('three dials of which the middle one is far faster or slower than both others are told', () => {
  const [warning, ...more] = told(run(2, 60), run(4, 700), run(4, 710), run(6, 180))
  expect(more).toEqual([])
  expect(warning!.message).toMatch(
    /^In direction \+ dial 4 feeds 3\.9 times as fast as both dial 2 and dial 6,/,
  )
  expect(warning!.runIds).toHaveLength(4)
  expect(told(run(2, 60, -1), run(4, 20, -1), run(6, 180, -1))[0]!.message).toContain('3.0 times as slow')
})

test('nothing is told of dials in order, a little out of it, with a fourth, or that stand still', () => {
  expect(told(run(2, 60), run(4, 120), run(6, 180))).toEqual([])
  expect(told(run(2, 180), run(4, 120), run(6, 60))).toEqual([])
  expect(told(run(2, 60), run(4, 85), run(6, 61))).toEqual([])
  expect(told(run(2, 60), run(4, 700), run(6, 180), run(8, 240))).toEqual([])
  expect(told(run(0, 0), run(4, 700), run(6, 180))).toEqual([])
  expect(told(run(2, 60), run(4, 700, -1), run(6, 180))).toEqual([])
})
