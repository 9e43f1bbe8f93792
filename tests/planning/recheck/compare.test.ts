import { describe, expect, it } from 'vitest'
import { seededNormal } from '../../../src/numbers/index.js'
import { compareGroups, likeness } from '../../../src/planning/recheck/index.js'
import { OPTIONS, runsAt } from './checked-machine.js'

/** Two groups of four runs a mark, the right of them made on a machine that is faster by a factor. */
function compared(factor: number, withinPercent = 2) {
  const normal = seededNormal(21)
  const left = runsAt([3, 6, 9], 4, normal)
  const right = runsAt([3, 6, 9], 4, normal, { factor })
  return compareGroups({ left, right, acrossDirections: false, options: OPTIONS }, withinPercent)
}

describe('compareGroups(groups, withinPercent)', () => {
  it('gives the difference of the right against the left, mark by mark and overall', () => {
    const { compared: marks, scale, verdict, changed } = compared(1.05)
    expect([verdict, changed]).toEqual(['moved', true])
    expect(scale.interval95[0]).toBeLessThan(5)
    expect(scale.interval95[1]).toBeGreaterThan(5)
    expect(marks.map(({ dial, runs }) => [dial, runs])).toEqual([3, 6, 9].map((dial) => [dial, [4, 4]]))
    for (const { difference, leftFeed, rightFeed } of marks) {
      expect(difference).toBeCloseTo(Math.log(rightFeed.feedMmPerMin / leftFeed.feedMmPerMin), 9)
    }
  })

  it('shows groups alike within a tolerance that they are known to', () => {
    expect(likeness(compared(1, 4))).toBe('alike')
    expect(likeness(compared(1.05))).toBe('different')
    expect(likeness(compared(1, 0.1))).toBe('undecided')
  })

  it('matches marks across directions where it is asked to, and within each of them otherwise', () => {
    const normal = seededNormal(22)
    const left = runsAt([3, 6], 3, normal)
    const right = runsAt([3, 6], 3, normal, { direction: -1, factor: 0.97 })
    const groups = { left, right, options: OPTIONS }
    const across = compareGroups({ ...groups, acrossDirections: true }, 2)
    expect(across.compared.map(({ direction, rightDirection }) => [direction, rightDirection])).toEqual([
      [1, -1],
      [1, -1],
    ])
    expect(() => compareGroups({ ...groups, acrossDirections: false }, 2)).toThrow(
      expect.objectContaining({ code: 'nothing-to-compare' }),
    )
  })

  it('knows no scatter where no setting was measured twice', () => {
    const normal = seededNormal(23)
    const once = { left: runsAt([3, 6], 1, normal), right: runsAt([3, 6], 1, normal) }
    expect(() => compareGroups({ ...once, acrossDirections: false, options: OPTIONS }, 2)).toThrow(
      expect.objectContaining({ code: 'no-repeats' }),
    )
  })

  it('leaves the dial out where a run of either group was made without touching it', () => {
    const normal = seededNormal(24)
    const left = runsAt([3, 6, 9], 3, normal)
    const right = runsAt([3, 6, 9], 3, normal)
    const sharing = <T extends { readonly dial: number }>(runs: readonly T[]) =>
      runs.map((run, k) => ({ ...run, setting: `${run.dial}:${k % 3}` }))
    const half = (pair: { left: typeof left; right: typeof right }) => {
      const { interval95 } = compareGroups({ ...pair, acrossDirections: false, options: OPTIONS }, 2).scale
      return interval95[1] - interval95[0]
    }
    expect(half({ left: sharing(left), right: sharing(right) })).toBeLessThan(half({ left, right }))
  })
})

describe('likeness(decision)', () => {
  it('calls a difference that is shown within the tolerance alike', () => {
    expect(likeness({ verdict: 'holds', changed: true })).toBe('alike')
    expect(likeness({ verdict: 'holds', changed: false })).toBe('alike')
    expect(likeness({ verdict: 'moved', changed: true })).toBe('different')
    expect(likeness({ verdict: 'undecided', changed: true })).toBe('different')
    expect(likeness({ verdict: 'undecided', changed: false })).toBe('undecided')
  })
})
