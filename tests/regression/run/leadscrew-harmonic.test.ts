import { expect, test } from 'vitest'
import { leadscrewHarmonic } from '../../../src/regression/run/leadscrew-harmonic.js'
import { searchRipple } from '../../../src/traverse/index.js'
import { seededUniform } from '../../traverse/simulated-traverse.js'

const uniform = seededUniform(3)
const timeS = Array.from({ length: 400 }, (_, i) => 0.1 * i)

function positions(travelMm: number, rippleMm: number): number[] {
  return timeS.map((t) => {
    const turned = (travelMm * t) / 40
    return turned + rippleMm * Math.sin((2 * Math.PI * turned) / 5) + 0.004 * (uniform() - 0.5)
  })
}

test('a known pitch is used from one and a half turns on', () => {
  expect(leadscrewHarmonic(timeS, positions(8, 0), 5)).toEqual({ periodMm: 5, searched: false })
  expect(leadscrewHarmonic(timeS, positions(7, 0), 5)).toBeNull()
})

test('an unknown pitch is found where ripple shows, and none where it does not', () => {
  const found = leadscrewHarmonic(timeS, positions(60, 0.02))
  expect(found?.searched).toBe(true)
  expect(found?.periodMm).toBeCloseTo(5, 1)
  expect(leadscrewHarmonic(timeS, positions(60, 0))).toBeNull()
})

test('ripple of two turns is not taken for one of many', () => {
  expect(leadscrewHarmonic(timeS, positions(10, 0.02))?.periodMm).toBeCloseTo(5, 0)
  expect(leadscrewHarmonic(timeS, positions(5, 0.02))).toBeNull()
})

test('a period is believed below 1 % by chance, and not a little above', () => {
  // One draw of scatter, whose probability falls as ripple is added.
  const within = (rippleMm: number) => {
    const own = seededUniform(12)
    const track = timeS.map(
      (t) => 1.5 * t + rippleMm * Math.sin((3 * Math.PI * t) / 5) + 0.004 * (own() - 0.5),
    )
    return {
      byChance: searchRipple(timeS, track, { minTurns: 0.8 })!.falseAlarm,
      found: leadscrewHarmonic(timeS, track),
    }
  }
  const [below, above] = [within(0.00048), within(0.000475)]
  expect(below.byChance).toBeGreaterThan(0.009)
  expect(below.byChance).toBeLessThan(0.01)
  expect(below.found).not.toBeNull()
  expect(above.byChance).toBeGreaterThan(0.01)
  expect(above.byChance).toBeLessThan(0.0145)
  expect(above.found).toBeNull()
})

test('a known pitch counts the turns between the first and the last reading, whichever way and wherever they lie', () => {
  const known = { periodMm: 5, searched: false }
  const over = (...ends: number[]) => leadscrewHarmonic([0, 1], ends, 5)
  expect([over(0, 7.5), over(0, -7.5), over(507.5, 500), over(-500, -507.5)]).toEqual(Array(4).fill(known))
  expect([over(0, 7.49), over(500, 507.49), over(-7.49, 0), over(-3.8, 3.6)]).toEqual(Array(4).fill(null))
  expect(leadscrewHarmonic([], [], 0.5)).toBeNull()
})

test('a searched period is taken from 1.5 turns on, at 1 % by chance at most, and of few turns where it explains nine tenths', () => {
  const met = { 'by chance': 0, 'too few turns': 0, 'explains too little': 0, taken: 0 }
  for (const travelMm of [4, 5, 6, 8, 9, 12, 20, 40]) {
    for (const rippleMm of [0, 0.0006, 0.0012, 0.002, 0.004, 0.03]) {
      for (const bendMm of [0, 0.01]) {
        const track = positions(travelMm, rippleMm).map((mm, i) => mm + bendMm * ((i - 200) / 200) ** 3)
        // Periods of eight tenths of a turn are tried as well, lest such a one pass for its own overtone.
        const found = searchRipple(timeS, track, { minTurns: 0.8 })!
        let outcome: keyof typeof met = 'taken'
        if (found.falseAlarm >= 0.01) outcome = 'by chance'
        else if (found.turns < 1.5) outcome = 'too few turns'
        else if (found.turns < 3 && found.explained < 0.9) outcome = 'explains too little'
        met[outcome] += 1
        const place = `${travelMm} mm, ripple ${rippleMm} mm, bend ${bendMm} mm: ${outcome}`
        const expected = outcome === 'taken' ? { periodMm: found.periodMm, searched: true } : null
        expect(leadscrewHarmonic(timeS, track), place).toEqual(expected)
      }
    }
  }
  for (const [outcome, count] of Object.entries(met)) expect(count, outcome).toBeGreaterThan(2)
})
