import { expect, test } from 'vitest'
import { straightLine } from '../../../src/numbers/index.js'
import { rampsLeft } from '../../../src/traverse/phases/ramps-left.js'

const SPEED = 4
const STEADY_S = 2
/** Travel of an exponential ramp of time constant τ, mm. */
const travelled = (t: number, tau: number): number => SPEED * (t + tau * Math.expm1(-t / tau))

function leftAfter(sinceS: number, tau: number) {
  const times = Array.from({ length: 200 }, (_, i) => sinceS + (i * STEADY_S) / 199)
  const line = straightLine(
    times,
    times.map((time) => travelled(time, tau)),
  )
  const start = { timeS: 0, levelMm: 0 }
  return rampsLeft(line, sinceS, sinceS + STEADY_S, { start, end: null, bandMm: 0 })
}

test.each([
  [0.5, 0.1],
  [0.5, 0.4],
  [1, 0.4],
  [3, 0.8],
])(
  '%f s after a start that was seen, the time constant %f s is told from the lag of the line',
  (sinceS, tau) => {
    const { startSeen, start } = leftAfter(sinceS, tau)
    expect(startSeen).toBe(true)
    expect(start[0]!.timeConstantS / tau).toBeCloseTo(1, 2)
    expect(start[0]!.share).toBeCloseTo(Math.exp(-sinceS / tau), 2)
  },
)

test('a start that was not seen leaves ramps of every usual time constant', () => {
  const line = straightLine([0, 1, 2], [0, 4, 8])
  const { startSeen, start, end } = rampsLeft(line, 0, 2, { start: null, end: null, bandMm: 0.01 })
  expect(startSeen).toBe(false)
  expect(Math.max(...start.map((ramp) => ramp.timeConstantS))).toBe(1)
  for (const ramps of [start, end]) {
    expect(ramps.reduce((sum, ramp) => sum + ramp.weight, 0)).toBeLessThan(1)
  }
})

test('a steady part that ends before the drive was let go holds no coast', () => {
  // An even slowing down over 0.4 s from 10 s on: the line reaches the rest at 10.2 s.
  const line = straightLine([0, 5, 9], [0, 20, 36])
  const end = { timeS: 10.4, levelMm: 40.8 }
  const left = (toS: number) => rampsLeft(line, 2, toS, { start: null, end, bandMm: 0.01 }).end
  expect(left(9.9)).toEqual([])
  expect(left(10.1)).toHaveLength(1)
})
