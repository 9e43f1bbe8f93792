import { describe, expect, it } from 'vitest'
import type { CauseFound } from '../../../../src/planning/recheck/cause.js'
import { markToTellApart } from '../../../../src/planning/recheck/next-runs/tell-apart.js'
import { measured } from '../checked-machine.js'

const { table } = measured(41)
const POSTERIOR = { points: [{ runRelative: 0.004, dialReset: 0.01, weight: 1 }], degreesOfFreedom: 16 }
const amount = (value: number) => ({ value, standardUncertainty: 0.01, interval95: [value, value] as const })

/** A factor of 5 % or a knob turned by a quarter, each as probable. */
const OPEN: CauseFound = {
  cause: null,
  probability: { scale: 0.5, offset: 0.45, shape: 0.05 },
  logScale: amount(0.05),
  offset: amount(0.25),
}
const ask = (changes: Partial<CauseFound> = {}, posterior = POSTERIOR) =>
  markToTellApart([table], posterior, 500, { ...OPEN, ...changes })

describe('markToTellApart(tables, posterior, fastest, cause)', () => {
  it('names two runs at the mark where a factor and a turned knob would differ most', () => {
    // Invented machine: feed 12 + 35 d + 2 d². A quarter of a turn moves the lowest mark by 12 %, the others less.
    expect(ask()).toEqual({ dial: 2, runs: 2 })
  })

  it('names none where a cause was found, or one of both is out of the question', () => {
    expect(ask({ cause: 'scale' })).toBeNull()
    expect(ask({ probability: { scale: 0.95, offset: 0.04, shape: 0.01 } })).toBeNull()
    expect(ask({ probability: { scale: 0.04, offset: 0.95, shape: 0.01 } })).toBeNull()
    expect(ask({ offset: null })).toBeNull()
  })

  it('names none where two runs would not tell', () => {
    const wild = { points: [{ runRelative: 0.2, dialReset: 0.01, weight: 1 }], degreesOfFreedom: 16 }
    expect(ask({}, wild)).toBeNull()
    expect(ask({ logScale: amount(0.001), offset: amount(0.005) })).toBeNull()
  })
})
