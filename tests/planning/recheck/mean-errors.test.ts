import { describe, expect, it } from 'vitest'
import {
  covarianceOf,
  differenceErrors,
  type LogFeedErrors,
  meanLogFeed,
  plainErrors,
  varianceOf,
} from '../../../src/planning/recheck/mean-errors.js'
import { groupByMark } from '../../../src/regression/index.js'
import { runsAt } from '../../regression/run-evidence.js'

// Expected values worked by hand by the law of propagation of uncertainty (JCGM 100:2008, 5.1.2 and 5.2.2).
const POINT = {
  ...{ runRelative: 0.01, dialReset: 0.05, travelShare: 0.5, weight: 1 },
  ...{ dayRelative: 0.02, meanOfDays: 0.01 },
}
const NOW: LogFeedErrors = {
  runShare: 0.5,
  inTravels: 0.1,
  travels: new Map([['up', 0.4]]),
  settings: new Map([
    ['a', 0.2],
    ['b', 0.1],
  ]),
  ownVariance: 4e-6,
  common: new Map([['clock', 0.003]]),
  days: new Map([['monday', 0.5]]),
  meanOfDays: 0,
}
const THEN: LogFeedErrors = {
  runShare: 0.25,
  inTravels: 0.2,
  travels: new Map([
    ['up', 0.3],
    ['down', 0.7],
  ]),
  settings: new Map([['b', 0.3]]),
  ownVariance: 1e-6,
  common: new Map([
    ['clock', 0.001],
    ['pitch', 0.002],
  ]),
  days: new Map([['monday', 0.25]]),
  meanOfDays: 1,
}

describe('varianceOf and covarianceOf', () => {
  it('sum the squares of what each cause counts for', () => {
    // (0.5 + 0.5 × (0.16 − 0.1)) × 1e-4 + (0.04 + 0.01) × 25e-4 + 4e-6 + 9e-6 + 0.25 × 4e-4.
    expect(varianceOf(NOW)(POINT)).toBeCloseTo(53e-6 + 125e-6 + 4e-6 + 9e-6 + 100e-6, 12)
    // A mean of days that counts for one: 1e-4.
    expect(varianceOf({ ...plainErrors(0.02), meanOfDays: -1 })(POINT)).toBeCloseTo(4e-4 + 1e-4, 12)
  })

  it('share only travels, settings, common causes and days', () => {
    // Travel up: 0.5 × 0.4 × 0.3 × 1e-4; setting b: 0.1 × 0.3 × 25e-4; clock: 0.003 × 0.001; monday: 0.5 × 0.25 × 4e-4.
    expect(covarianceOf(NOW, THEN)(POINT)).toBeCloseTo(6e-6 + 75e-6 + 3e-6 + 50e-6, 12)
    expect(covarianceOf(plainErrors(0.1), plainErrors(0.1))(POINT)).toBe(0)
  })
})

describe('differenceErrors(now, then)', () => {
  it('adds what is independent and subtracts what both share', () => {
    const difference = differenceErrors(NOW, THEN)
    expect(difference.runShare).toBe(0.75)
    expect(difference.inTravels).toBeCloseTo(0.3, 15)
    expect(difference.ownVariance).toBeCloseTo(5e-6, 15)
    expect([...difference.travels]).toEqual([
      ['up', 0.4 - 0.3],
      ['down', -0.7],
    ])
    expect([...difference.settings]).toEqual([
      ['a', 0.2],
      ['b', 0.1 - 0.3],
    ])
    expect([...difference.common]).toEqual([
      ['clock', 0.003 - 0.001],
      ['pitch', -0.002],
    ])
    expect([...difference.days]).toEqual([['monday', 0.25]])
    expect(difference.meanOfDays).toBe(-1)
  })
})

describe('meanLogFeed(group, runs, relativeSlope, posterior)', () => {
  it('weighs like runs alike and counts a setting by the runs made at it', () => {
    const runs = runsAt([[5, [100, 102, 104, 106]]]).map((run, k) => ({
      ...run,
      setting: k < 2 ? 'first' : `own ${k}`,
    }))
    const [group] = groupByMark(runs, 1000)
    const posterior = { points: [{ runRelative: 0.02, dialReset: 0, weight: 1 }], degreesOfFreedom: 3 }
    const { logFeed, errors } = meanLogFeed(group!, runs, 0.4, posterior)
    expect(logFeed).toBeCloseTo((Math.log(100) + Math.log(102) + Math.log(104) + Math.log(106)) / 4, 5)
    expect(errors.runShare).toBeCloseTo(1 / 4, 6)
    expect([...errors.settings.keys()]).toEqual(['first', 'own 2', 'own 3'])
    expect(errors.settings.get('first')).toBeCloseTo(0.4 / 2, 6)
    expect(errors.settings.get('own 3')).toBeCloseTo(0.4 / 4, 6)
    const own = group!.relativeUncertainties.reduce((sum, u) => sum + (u / 4) ** 2, 0)
    expect(errors.ownVariance).toBeCloseTo(own, 12)
    expect(errors.common.size).toBe(0)
    expect(errors.travels.size).toBe(0)
  })

  it('counts a travel by all of its runs, which share what it has in common', () => {
    const runs = runsAt([[5, [100, 102, 104, 106]]]).map((run, k) => ({
      ...run,
      setting: `own ${k}`,
      ...(k < 3 ? { travel: 'up' } : {}),
    }))
    const [group] = groupByMark(runs, 1000)
    const posterior = { points: [{ runRelative: 0.02, dialReset: 0, weight: 1 }], degreesOfFreedom: 3 }
    const { errors } = meanLogFeed(group!, runs, 0.4, posterior)
    expect([...errors.travels.keys()]).toEqual(['up'])
    expect(errors.travels.get('up')).toBeCloseTo(3 / 4, 6)
    expect(errors.inTravels).toBeCloseTo(3 / 16, 6)
    expect(errors.runShare).toBeCloseTo(1 / 4, 6)
  })
})
