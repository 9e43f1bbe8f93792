import { describe, expect, it } from 'vitest'
import {
  GUARDS_S,
  HOLD_S,
  holdTimeS,
  onceThrough,
  settingsThatFit,
  sweepTimeS,
  TURN_S,
  upAndDown,
} from '../../../src/planning/index.js'

describe('travels through many settings', () => {
  const slow = { dial: 1, feedMmPerMin: 60 }
  const quick = { dial: 9, feedMmPerMin: 3000 }

  it('take the settings that fit, one at least, and those whose feed is not known', () => {
    expect(settingsThatFit([slow, quick], 500, 5)).toEqual([1])
    expect(settingsThatFit([quick], 100, 5)).toEqual([9])
    expect(settingsThatFit([slow, { dial: 5, feedMmPerMin: null }, slow], 500, 5)).toEqual([1, 5, 1])
    expect(settingsThatFit([], 500, 5)).toEqual([])
  })

  it('take the longer for each setting, and more for each travel', () => {
    // 60 mm/min over a leadscrew of 10 mm needs 15 s for one and a half turns.
    expect(holdTimeS(60, 10)).toBe(15)
    const one = sweepTimeS([slow], 500, 5)
    expect(sweepTimeS([slow, slow], 500, 5) - one).toBe(TURN_S + GUARDS_S + HOLD_S)
    // The quick one does not fit behind the slow one: it takes a travel of its own.
    expect(sweepTimeS([slow, quick], 500, 5)).toBe(one + sweepTimeS([quick], 500, 5))
    expect(sweepTimeS([{ dial: 1, feedMmPerMin: null }], 500, 5)).toBe(one)
    expect(sweepTimeS([], 500, 5)).toBe(0)
  })
})

describe('onceThrough(lacking, direction)', () => {
  const lacking = [
    { dial: 5, runs: 2 },
    { dial: 1, runs: 2 },
    { dial: 9, runs: 1 },
  ]
  it('takes those that lack most, up the dial one way and down it the other', () => {
    expect(onceThrough(lacking, 1)).toEqual([1, 5])
    expect(onceThrough(lacking, -1)).toEqual([5, 1])
  })
})

describe('upAndDown(lacking, direction)', () => {
  const runs = (counts: Record<number, number>) =>
    Object.entries(counts).map(([dial, count]) => ({ dial: Number(dial), runs: count }))

  it.each([
    [{ 2: 3, 6: 3, 9: 2 }, [2, 6, 9, 6, 2, 6, 9, 2]],
    [{ 1: 2, 10: 2 }, [1, 10, 1, 10]],
    [{ 4: 1 }, [4]],
    // The same setting twice running is no turn of the knob: it is left to a travel of its own.
    [{ 4: 3 }, [4]],
    [{ 3: 1, 7: 3 }, [3, 7]],
    [{ 3: 3, 7: 1 }, [3, 7, 3]],
    [{}, []],
  ])('turns through %j as %j', (counts, order) => {
    expect(upAndDown(runs(counts), 1)).toEqual(order)
  })
})
