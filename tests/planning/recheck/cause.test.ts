import { describe, expect, it } from 'vitest'
import { amountAsPercent, findCause, straightShift } from '../../../src/planning/recheck/cause.js'
import type { Differences } from '../../../src/planning/recheck/mark-differences.js'
import { plainErrors } from '../../../src/planning/recheck/mean-errors.js'

/** A dial whose relative slope falls from mark to mark: a turned knob moves the slow end most. */
const SLOPES = [0.4, 0.2, 0.1, 0.05]

function differences(values: readonly number[], uncertainty = 0.004): Differences {
  return {
    marks: values.map((difference, i) => ({
      ...{ dial: i + 1, direction: 1 as const, difference },
      errors: plainErrors(uncertainty),
    })),
    posterior: { points: [{ runRelative: 0, dialReset: 0, weight: 1 }], degreesOfFreedom: 4 },
  }
}

function causeOf(values: readonly number[], uncertainty?: number) {
  const some = differences(values, uncertainty)
  const shift = straightShift(some.marks.map((mark, i) => ({ ...mark, relativeSlope: SLOPES[i]! })))
  return findCause(some, shift, SLOPES)
}

const SCALE = [0.05, 0.051, 0.049, 0.05]
const TURNED = SLOPES.map((slope) => 0.3 * slope)
const SHAPE = [0.06, -0.05, 0.05, -0.06]

describe('findCause(differences, shift, slopes)', () => {
  it.each([
    ['scale', SCALE],
    ['offset', TURNED],
    ['shape', SHAPE],
  ] as const)('names %s where the differences are of that kind', (cause, values) => {
    const found = causeOf(values)
    expect(found.cause).toBe(cause)
    expect(found.probability[cause]).toBeGreaterThan(0.9)
    const { scale, offset, shape } = found.probability
    expect(scale + offset + shape).toBeCloseTo(1, 12)
  })

  it('names none where the marks are too uncertain to tell', () => {
    expect(causeOf([0.03, 0.02], 0.02).cause).toBeNull()
  })

  it('gives the amounts with the uncertainty of a weighted mean', () => {
    const { logScale } = causeOf(SCALE)
    expect(logScale.value).toBeCloseTo(0.05, 6)
    // Four like marks: 0.004/√4; the normal quantile at 97.5 % is 1.95996 (NIST/SEMATECH e-Handbook, 1.3.6.7.1).
    expect(logScale.standardUncertainty).toBeCloseTo(0.002, 5)
    expect(logScale.interval95[0]).toBeCloseTo(0.05 - 1.95996 * 0.002, 4)
    expect(logScale.interval95[1]).toBeCloseTo(0.05 + 1.95996 * 0.002, 4)
    const { offset } = causeOf(TURNED)
    expect(offset!.value).toBeCloseTo(0.3, 5)
    expect(offset!.standardUncertainty).toBeCloseTo(0.004 / Math.hypot(...SLOPES), 4)
  })

  it('knows no turned knob on a stepped dial, nor on a flat one', () => {
    const stepped = findCause(differences(TURNED), null, SLOPES)
    expect([stepped.offset, stepped.probability.offset]).toEqual([null, 0])
    const flat = findCause(differences(SCALE), straightShift([]), [0, 0, 0, 0])
    expect(flat.offset).toBeNull()
    expect(flat.cause).toBe('scale')
  })

  it('counts what a curve is unsure of between its marks against the offset', () => {
    const some = differences(TURNED)
    const unsure = findCause(
      some,
      (turn) => SLOPES.map((slope) => ({ change: slope * turn, variance: 0.01 })),
      SLOPES,
    )
    expect(unsure.offset!.standardUncertainty).toBeGreaterThan(
      5 * causeOf(TURNED).offset!.standardUncertainty,
    )
    expect(unsure.probability.offset).toBeLessThan(causeOf(TURNED).probability.offset)
  })
})

describe('amountAsPercent(amount)', () => {
  it('turns a logarithm into percent', () => {
    const amount = {
      value: Math.log(1.05),
      standardUncertainty: 0.01,
      interval95: [0, Math.log(1.1)] as const,
    }
    const { value, interval95 } = amountAsPercent(amount)
    expect(value).toBeCloseTo(5, 12)
    expect(interval95).toEqual([0, expect.closeTo(10, 12)])
  })
})
