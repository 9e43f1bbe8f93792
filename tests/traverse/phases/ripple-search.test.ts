import { describe, expect, it, test } from 'vitest'
import { searchRipple } from '../../../src/traverse/index.js'
import { rippleAt } from '../../../src/traverse/phases/ripple-search.js'
import { seededUniform } from '../simulated-traverse.js'

const uniform = seededUniform(11)
const timeS = Float64Array.from({ length: 600 }, (_, i) => 0.1 * i)

function travel(rippleMm: number, pitchMm: number, noiseMm: number): Float64Array {
  return timeS.map((t) => {
    const turned = 1.2 * t
    return (
      300 + turned + rippleMm * Math.sin((2 * Math.PI * turned) / pitchMm + 1) + noiseMm * (uniform() - 0.5)
    )
  })
}

test.each([2.54, 4, 5.08, 6.35])('searchRipple finds a pitch of %f mm and its amplitude', (pitchMm) => {
  const found = searchRipple(timeS, travel(0.02, pitchMm, 0.005))
  expect(Math.abs((found?.periodMm ?? 0) / pitchMm - 1)).toBeLessThan(0.002)
  expect(found?.amplitudeMm).toBeCloseTo(0.02, 3)
  expect(found?.turns).toBeCloseTo(71.9 / pitchMm, 0)
  expect(found?.falseAlarm).toBeLessThan(1e-6)
})

test('the ripple found follows the one put in', () => {
  const found = searchRipple(timeS, travel(0.02, 5, 0))
  const at = 300 + 1.2 * 30
  expect(found?.rippleMm(at)).toBeCloseTo(0.02 * Math.sin((2 * Math.PI * 36) / 5 + 1), 3)
})

test('noise alone passes for ripple at the 1 % level in at most 4 of 100 runs', () => {
  const alarms = Array.from({ length: 100 }, () => searchRipple(timeS, travel(0, 5, 0.01))?.falseAlarm ?? 1)
  expect(alarms.filter((alarm) => alarm < 0.01).length).toBeLessThanOrEqual(4)
})

test('searchRipple has no answer for too few samples, too short a travel or an exact line', () => {
  expect(searchRipple([], [])).toBeNull()
  expect(searchRipple([0, 1, 2], [0, 1, 2])).toBeNull()
  expect(
    searchRipple(
      timeS,
      timeS.map((t) => 0.01 * t),
    ),
  ).toBeNull()
  expect(
    searchRipple(
      timeS,
      timeS.map(() => 5),
    ),
  ).toBeNull()
})

describe('rippleAt(timeS, positionMm, periodMm)', () => {
  it('says how much a known period explains, and where the strongest one beside it lies', () => {
    const found = rippleAt(timeS, travel(0.02, 5, 0.005), 5)!
    expect(found.turns).toBeCloseTo(71.9 / 5, 1)
    expect(found.peakTurns).toBeCloseTo(71.9 / 5, 1)
    // Variance of a sine of 0.02 mm and of noise between ±0.0025 mm: 0.02²/2 against 0.005²/12.
    expect(found.explained).toBeCloseTo(1 - 0.005 ** 2 / 12 / (0.02 ** 2 / 2), 2)
    expect(found.falseAlarm).toBeLessThan(1e-6)
  })

  it('gives a false alarm of p to p of the runs that are noise alone, as R² of two sinusoids and a line has it', () => {
    // R² is Beta(1, (n − 4)/2) there (G. A. F. Seber, A. J. Lee, Linear Regression Analysis, 2nd ed., 2003, 4.3; from memory).
    const few = timeS.subarray(0, 24)
    const alarms = Array.from(
      { length: 300 },
      () => rippleAt(few, travel(0, 5, 0.01).subarray(0, 24), 1)!.falseAlarm,
    )
    for (const p of [0.1, 0.5, 0.9]) {
      const share = alarms.filter((alarm) => alarm < p).length / alarms.length
      expect(Math.abs(share - p)).toBeLessThan(3 * Math.sqrt((p * (1 - p)) / alarms.length))
    }
  })
})
