import { describe, expect, test } from 'vitest'
import { ReadoutTally } from '../../../src/jobs/index.js'

/** Positions in mm at ten a second. */
function tallied(positions: readonly (number | null)[], tally = new ReadoutTally()): ReadoutTally {
  positions.forEach((positionMm, i) => {
    if (positionMm !== null) tally.add({ timeS: 50 + i / 10, positionMm, deviceTimeS: null, lineBytes: 7 })
  })
  return tally
}

describe('ReadoutTally', () => {
  test('before anything came', () => {
    expect(new ReadoutTally().summary).toEqual({
      positionMm: null,
      speedMmPerMin: 0,
      highestSpeedMmPerMin: 0,
      travelMm: 0,
      refreshHz: null,
      samples: 0,
      lost: 0,
      refused: {},
    })
  })

  test('tells position, speed over the last second, travel and rate', () => {
    // 2 mm/s to and half of it back.
    const there = Array.from({ length: 31 }, (_, i) => 0.2 * i)
    const back = Array.from({ length: 15 }, (_, i) => 6 - 0.2 * (i + 1))
    const { summary } = tallied([...there, ...back])
    expect(summary.positionMm).toBeCloseTo(3, 9)
    expect(summary.speedMmPerMin).toBeCloseTo(-120, 6)
    expect(summary.highestSpeedMmPerMin).toBeCloseTo(120, 6)
    expect(summary.travelMm).toBeCloseTo(6, 9)
    expect(summary.refreshHz).toBeCloseTo(10, 6)
    expect(summary).toMatchObject({ samples: 46, lost: 0 })
  })

  test('counts readings that the beat lacks', () => {
    const positions = Array.from({ length: 60 }, (_, i) => (i === 20 || (i > 30 && i < 34) ? null : i))
    expect(tallied(positions).summary.lost).toBe(4)
  })

  test('takes late and early arrivals for no loss', () => {
    const tally = new ReadoutTally()
    for (let i = 0; i < 60; i += 1) {
      const timeS = i / 10 + (i % 2 === 0 ? 0.03 : 0)
      tally.add({ timeS, positionMm: i, deviceTimeS: null, lineBytes: 7 })
    }
    expect(tally.summary.lost).toBe(0)
    expect(tally.summary.refreshHz).toBeCloseTo(10, 6)
  })

  test('takes no loss from an adapter that hands over every 16 ms what comes every 20', () => {
    const tally = new ReadoutTally()
    for (let i = 0; i < 300; i += 1) {
      tally.add({ timeS: Math.ceil(i / 50 / 0.016) * 0.016, positionMm: i, deviceTimeS: null, lineBytes: 7 })
    }
    expect(tally.summary.lost).toBe(0)
    expect(Math.abs(tally.summary.refreshHz! - 50)).toBeLessThan(1)
  })

  test('counts refused lines by their reason', () => {
    const tally = new ReadoutTally()
    for (const code of ['garbled', 'partial', 'garbled'] as const) tally.refuse({ timeS: 0, code })
    expect(tally.summary.refused).toEqual({ garbled: 2, partial: 1 })
  })
})
