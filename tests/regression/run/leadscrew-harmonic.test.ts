import { expect, test } from 'vitest'
import { leadscrewHarmonic } from '../../../src/regression/run/leadscrew-harmonic.js'
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
