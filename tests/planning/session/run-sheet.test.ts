import { describe, expect, it } from 'vitest'
import { runSheet } from '../../../src/planning/index.js'
import { builtInProcedure } from '../../../src/planning/procedures/index.js'

const PROCEDURE = builtInProcedure('stopwatch')
const AXIS = { marks: [2, 8], dialMin: 0, dialMax: 10, stepped: false, travelMm: 400 }
const feedAt = (dial: number) => (dial === 2 ? 61 : 900)

describe('runSheet(procedure, axis, wishes)', () => {
  it('has the steps of the procedure in their order', () => {
    const { rows } = runSheet(PROCEDURE, AXIS, { travelMm: null, feedAt, unit: 'mm' })
    expect(rows.map(({ pass, dial, direction }) => [pass, dial, direction])).toEqual(
      [
        [1, 2],
        [1, 8],
        [2, 8],
        [2, 2],
        [3, 2],
        [3, 8],
      ].flatMap(([pass, dial]) => [
        [pass, dial, 1],
        [pass, dial, -1],
      ]),
    )
    expect(rows.map((row) => row.step)).toEqual(rows.map((_, index) => index + 1))
  })

  it('suggests a travel of half a minute, up to a handy length, within its share of the axis', () => {
    const { rows, longestTravelMm } = runSheet(PROCEDURE, AXIS, { travelMm: null, feedAt, unit: 'mm' })
    // 61 mm/min for 30 s is 30.5 mm, up to 40; 900 mm/min would want 450 mm of the 0.8 × 400.
    expect(longestTravelMm).toBe(320)
    expect(rows[0]).toMatchObject({ dial: 2, travelMm: 40 })
    expect(rows[0]!.expectedS).toBeCloseTo((60 * 40) / 61, 9)
    expect(rows[2]).toMatchObject({ dial: 8, travelMm: 320 })
    const inches = runSheet(PROCEDURE, AXIS, { travelMm: null, feedAt, unit: 'in' })
    expect(inches.rows[0]!.travelMm).toBeCloseTo(1.5 * 25.4, 9)
    // 0.8 × 400 mm is 12.6 in: down to 12.5.
    expect(inches.rows[2]!.travelMm).toBeCloseTo(12.5 * 25.4, 9)
  })

  it('leaves the travel blank where no feed is known, and takes the one that is asked for', () => {
    const unknown = runSheet(PROCEDURE, AXIS, { travelMm: null, feedAt: () => null, unit: 'mm' })
    expect(unknown.rows[0]).toMatchObject({ travelMm: null, expectedS: null })
    const asked = runSheet(PROCEDURE, AXIS, { travelMm: 100, feedAt: () => null, unit: 'mm' })
    expect(asked.rows[0]).toMatchObject({ travelMm: 100, expectedS: null })
    const still = runSheet(PROCEDURE, AXIS, { travelMm: null, feedAt: () => 0, unit: 'mm' })
    expect(still.rows[0]!.travelMm).toBeNull()
  })
})
