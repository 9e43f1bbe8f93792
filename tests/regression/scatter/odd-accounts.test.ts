import { describe, expect, it } from 'vitest'
import {
  accountsOf,
  logDensities,
  ODD_SHARE,
  sharesOf,
  TYPICAL_OFFSET,
} from '../../../src/regression/scatter/odd-accounts.js'
import {
  type ScatteringMark,
  scatteringMarks,
} from '../../../src/regression/scatter/restricted-likelihood.js'
import { markGroup } from './mark-group-of.js'

function markOf(logFeeds: readonly number[], settings: readonly (readonly number[])[]): ScatteringMark {
  return scatteringMarks([markGroup(4, logFeeds.map(Math.exp), { settings })])[0]!
}
const scatter = (runRelative: number, dialReset = 0) => ({ runRelative, dialReset, weight: 1 })

describe('accountsOf(mark)', () => {
  const accounts = accountsOf(markOf([5, 5.02, 5.3], [[0, 1], [2]]))

  it('are that nothing is odd, each setting, and each run of a setting that has several', () => {
    expect(accounts.map(({ odd }) => odd)).toEqual([[], [0, 1], [2], [0], [1]])
    expect(accountsOf(markOf([5, 5.02], [[0, 1]])).map(({ odd }) => odd)).toEqual([[], [0], [1]])
  })

  it('keep what is left of settings, runs and feed, and how far off the odd ones lie', () => {
    const [sound, both, , , second] = accounts
    expect(sound!.logOffset).toBe(0)
    expect(both!.sound).toMatchObject({ runIds: ['4-2'], settings: [[0]] })
    expect(both!.together).toMatchObject({ runIds: ['4-0', '4-1'], settings: [[0, 1]] })
    expect(both!.logOffset).toBeCloseTo(5.01 - 5.3, 12)
    expect(second!.sound).toMatchObject({ runIds: ['4-0', '4-2'], settings: [[0], [1]] })
    expect(second!.together).toBeNull()
    expect(second!.logFeed).toBeCloseTo(5.15, 12)
  })
})

describe('logDensities(account, scatters)', () => {
  // By hand: of two runs only their difference counts, normal with both variances where both are sound, Cauchy else.
  const [first, other] = [5, 5.12]
  const [sound, odd] = accountsOf(markOf([first, other], [[0], [1]]))

  it('of sound runs is the normal density of their difference', () => {
    const variance = 2 * (0.03 ** 2 + 1e-8)
    const normal = -0.5 * (Math.log(2 * Math.PI * variance) + (other - first) ** 2 / variance)
    expect(logDensities(sound!, [scatter(0.03)])[0]).toBeCloseTo(Math.log(1 - ODD_SHARE) + normal, 9)
  })

  it('of an odd one is the Cauchy density of its offset, whatever runs scatter by', () => {
    const offset = (other - first) / TYPICAL_OFFSET
    const cauchy = -Math.log(Math.PI * TYPICAL_OFFSET * (1 + offset ** 2))
    const of = logDensities(odd!, [scatter(0.003), scatter(0.03)])
    expect(of).toEqual([1, 1].map(() => expect.closeTo(Math.log(ODD_SHARE) + cauchy, 9)))
  })
})

describe('sharesOf(logs, points)', () => {
  const shares = (logFeeds: number[], settings = logFeeds.map((_, k) => [k])) => {
    const logs = accountsOf(markOf(logFeeds, settings)).map((account) =>
      logDensities(account, [scatter(0.004), scatter(0.008)]),
    )
    return sharesOf(logs, [
      { q: 0, weight: 0.75 },
      { q: 1, weight: 0.25 },
    ])
  }

  it('sum to 1, leave sound runs sound, and name the one that is off', () => {
    const sound = shares([5, 5.004, 4.997])
    expect(sound.reduce((sum, share) => sum + share, 0)).toBeCloseTo(1, 12)
    expect(sound[0]).toBeGreaterThan(0.99)
    expect(shares([5, 5.004, 5.2])[3]).toBeGreaterThan(0.99)
  })

  it('of two runs far apart are the same, for nothing shows which is odd', () => {
    const [sound, first, other] = shares([5, 5.2])
    expect(sound).toBeLessThan(0.001)
    expect(first).toBeCloseTo(other!, 12)
  })

  it('take a setting of two runs that agree for odd rather than one of them', () => {
    const [, setting] = shares([5.2, 5.201, 5, 5.003, 4.999], [[0, 1], [2], [3], [4]])
    expect(setting).toBeGreaterThan(0.99)
  })
})
