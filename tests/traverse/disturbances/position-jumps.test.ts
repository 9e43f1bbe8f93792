import { expect, test } from 'vitest'
import { findBursts, rejoinJumps } from '../../../src/traverse/disturbances/position-jumps.js'
import { usableSamples } from '../../../src/traverse/phases/usable-samples.js'

function moving(change: (positionMm: number, i: number) => number) {
  const positionMm = Float64Array.from({ length: 60 }, (_, i) => change(50 + 0.25 * i, i))
  const timeS = positionMm.map((_, i) => 0.1 * i)
  return usableSamples({ timeS, positionMm, deviceTimeS: null }, 0.005)
}

test.each([
  ['zeroed', (value: number, i: number) => (i < 30 ? value : value - 57.5)],
  ['unit-switched', (value: number, i: number) => (i < 30 ? value : value / 25.4)],
  ['unit-switched', (value: number, i: number) => (i < 30 ? value : value * 25.4)],
  ['slipped', (value: number, i: number) => (i < 30 ? value : value + 3)],
] as const)('a jump is told as %s and taken out', (kind, change) => {
  const rejoined = rejoinJumps(moving(change), 0.005)
  expect(rejoined.jumps.map((jump) => [jump.at, jump.kind])).toEqual([[30, kind]])
  const steps = rejoined.positionMm.subarray(28, 32)
  expect(Math.abs(steps[2]! - steps[1]!)).toBeLessThan(0.6)
})

test('a steady traverse, and one with lines lost, hold no jump', () => {
  const samples = moving((value) => value)
  expect(rejoinJumps(samples, 0.005).jumps).toEqual([])
  const kept = [...samples.positionMm.keys()].filter((i) => i < 20 || i > 35)
  const gap = usableSamples(
    {
      timeS: Float64Array.from(kept, (i) => samples.timeS[i]!),
      positionMm: Float64Array.from(kept, (i) => samples.positionMm[i]!),
      deviceTimeS: null,
    },
    0.005,
  )
  expect(rejoinJumps(gap, 0.005).jumps).toEqual([])
})

test('findBursts finds readings that leave the travel together and come back', () => {
  const burst = moving((value, i) => (i >= 30 && i < 34 ? value + 9 : value))
  expect(findBursts(burst, 0.005)).toEqual([30, 31, 32, 33])
  expect(
    findBursts(
      moving((value, i) => (i < 30 ? value : value + 9)),
      0.005,
    ),
  ).toEqual([])
})
