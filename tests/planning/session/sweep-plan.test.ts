import { describe, expect, it } from 'vitest'
import {
  GUARDS_S,
  HOLD_S,
  holdTimeS,
  onceThrough,
  settingsThatFit,
  sweepTimeS,
  TURN_S,
} from '../../../src/planning/index.js'

describe('travels through many settings', () => {
  const slow = { dial: 1, feedMmPerMin: 75 }
  const quick = { dial: 9, feedMmPerMin: 3000 }

  it('take the settings that fit, one at least, and those whose feed is not known', () => {
    expect(settingsThatFit([slow, quick], 500, 5)).toEqual([slow])
    expect(settingsThatFit([quick], 100, 5)).toEqual([quick])
    const unknown = [slow, { dial: 5, feedMmPerMin: null }, slow]
    expect(settingsThatFit(unknown, 500, 5)).toEqual(unknown)
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
