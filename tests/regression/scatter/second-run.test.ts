import { expect, it } from 'vitest'
import { assumedNoise } from '../../../src/regression/scatter/noise-model.js'
import { nextHalfWidths } from '../../../src/regression/scatter/second-run.js'
import { markGroup } from './mark-group-of.js'

const marks = [2, 4, 8].map((dial) => markGroup(dial, [40 * dial]))

it('nextHalfWidths(groups, posterior) of a scatter that is known: one run more than the mean, of one run or of two', () => {
  // The next setting differs from the mean of n settings by the scatter times √(1 + 1/n) (JCGM 100:2008, 5.1.2).
  const known = { points: [{ runRelative: 0.02, dialReset: 0, weight: 1 }], degreesOfFreedom: 0 }
  const exact = marks.map((mark) => ({ ...mark, relativeUncertainties: [1e-9] }))
  const half = (runs: number) => Math.sinh(1.959964 * 0.02 * Math.sqrt(1 + 1 / runs))
  const { now, withSecondRun } = nextHalfWidths(exact, known)
  for (const k of marks.keys()) {
    expect(now[k]).toBeCloseTo(half(1), 4)
    expect(withSecondRun[k]).toBeCloseTo(half(2), 4)
  }
})

it('nextHalfWidths(groups, posterior) learns how far runs scatter from the second ones, and leaves creeping marks out', () => {
  const creeping = markGroup(0.1, [1], { creeps: true })
  const assumed = assumedNoise(marks, { dialRepeats: false })
  const { now, withSecondRun } = nextHalfWidths([creeping, ...marks], assumed)
  expect(now).toHaveLength(marks.length)
  // Two runs for one narrow by √(3/2 ÷ 2) = 0.87; the rest is that the scatter is no longer a guess.
  for (const [k, wide] of now.entries()) {
    expect(withSecondRun[k]).toBeLessThan(0.75 * wide)
    // But the second runs scatter as a usual machine does: were they to agree, a tenth of the width would be left.
    expect(withSecondRun[k]).toBeGreaterThan(0.25 * wide)
  }
})
