import { expect, test } from 'vitest'
import { usableSamples } from '../../../src/traverse/phases/usable-samples.js'

function series(positions: readonly number[], times?: readonly number[]) {
  return {
    timeS: Float64Array.from(times ?? positions.map((_, i) => 0.1 * i)),
    positionMm: Float64Array.from(positions),
    deviceTimeS: null,
  }
}
const steady = Array.from({ length: 40 }, (_, i) => 0.25 * i)

test('usableSamples takes out a value that jumps away and back, small or gross, at rest or moving', () => {
  for (const off of [0.1, -0.7, 20, -20]) {
    const moving = steady.map((value, i) => (i === 20 ? value + off : value))
    expect(usableSamples(series(moving), 0.005).outliers).toEqual([20])
    const resting = steady.map((_, i) => (i === 20 ? off : 0))
    expect(usableSamples(series(resting), 0.005).outliers).toEqual([20])
  }
})

test('usableSamples keeps starts, stops, turns, steps of one digit and what follows lost lines', () => {
  const start = steady.map((_, i) => Math.max(0, i - 10) * 0.25)
  const turn = steady.map((_, i) => 0.25 * Math.min(i, 39 - i))
  const flicker = steady.map((_, i) => 0.005 * ((i * 7) % 3))
  const lost = steady.filter((_, i) => i % 5 !== 0 && i % 7 !== 0)
  const jump = steady.map((value, i) => (i < 20 ? value : value - 4))
  for (const positions of [start, turn, flicker, lost, jump]) {
    expect(usableSamples(series(positions), 0.005).outliers).toEqual([])
  }
})

test('usableSamples tells noise, period and where each sample came from', () => {
  const times = steady.map((_, i) => (i === 7 ? 0 : 0.1 * i))
  const positions = steady.map((value, i) => (i === 5 ? Number.NaN : value))
  const usable = usableSamples(series(positions, times), 0.005)
  expect(usable.index.includes(5)).toBe(false)
  expect(usable.index.includes(7)).toBe(false)
  expect(usable.timeS.length).toBe(38)
  expect(usable.periodS).toBeCloseTo(0.1, 1)
  expect(usable.noiseMm).toBeLessThan(1e-9)
  expect(usableSamples(series([]), 0.005).periodS).toBe(0)
})
