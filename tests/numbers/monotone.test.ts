import fc from 'fast-check'
import { describe, expect, it } from 'vitest'
import { isotonic, largestFall, riseInPlace } from '../../src/numbers/monotone.js'

const close = (got: readonly number[], wanted: readonly number[]) => {
  expect(got).toHaveLength(wanted.length)
  wanted.forEach((value, i) => {
    expect(got[i]).toBeCloseTo(value, 10)
  })
}

describe('isotonic(values, weights)', () => {
  it('gives the two examples of R’s isoreg() documentation (fits by R 4.2)', () => {
    close(isotonic([1, 0, 4, 3, 3, 5, 4, 2, 0]), [0.5, 0.5, 3, 3, 3, 3, 3, 3, 3])
    const third = 10 / 3
    close(isotonic([1, 0, 4, 3, 3, 5, 4, 2, 3]), [0.5, 0.5, third, third, third, 3.5, 3.5, 3.5, 3.5])
  })

  it('weighs the values (constructed numbers, exact rational arithmetic; common practice, no source)', () => {
    close(isotonic([1, 3, 2, 4, 3, 5], [1, 2, 1, 1, 3, 1]), [1, 8 / 3, 8 / 3, 3.25, 3.25, 5])
  })

  it('leaves nothing and one value alone', () => {
    expect(isotonic([])).toEqual([])
    expect(isotonic([7])).toEqual([7])
  })
})

describe('riseInPlace(values)', () => {
  const curve = fc.float64Array({ noNaN: true, min: -1e6, max: 1e6, maxLength: 40 })

  it('always gives a sequence that never falls', () => {
    fc.assert(
      fc.property(curve, (values) => largestFall(riseInPlace(values.slice())) === 0),
      { seed: 1, numRuns: 300 },
    )
  })

  it('changes no value by more than the largest fall', () => {
    fc.assert(
      fc.property(curve, (values) => {
        const fall = largestFall(values)
        return riseInPlace(values.slice()).every((value, i) => Math.abs(value - values[i]!) <= fall + 1e-9)
      }),
      { seed: 2, numRuns: 300 },
    )
  })

  it('does not touch a rising sequence', () => {
    expect([...riseInPlace(Float64Array.of(-1, 0, 0, 5))]).toEqual([-1, 0, 0, 5])
  })
})
