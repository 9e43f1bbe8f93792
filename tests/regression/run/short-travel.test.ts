import { expect, test } from 'vitest'
import { hiddenRipple, shortTravelSlope } from '../../../src/regression/run/short-travel.js'
import { seededUniform } from '../../traverse/simulated-traverse.js'

function track(turns: number, rippleRelative: number, phase: number, noiseMm = 0.002) {
  const uniform = seededUniform(Math.round(1000 * (turns + phase)))
  const timeS = Float64Array.from({ length: 300 }, (_, i) => 0.1 * i)
  const speed = (turns * 5) / 30
  const amplitudeMm = (5 * rippleRelative) / (2 * Math.PI)
  const positionMm = timeS.map((t) => {
    const angle = (2 * Math.PI * speed * t) / 5
    return speed * t + amplitudeMm * Math.sin(angle + phase) + noiseMm * (uniform() - 0.5)
  })
  return { track: { timeS, positionMm }, speed }
}

test('with a tenth of a turn the slope is as uncertain as ripple makes it, half a percent to three', () => {
  const { track: short, speed } = track(0.1, 0, 0, 0.01)
  const { standardErrorMmPerS } = shortTravelSlope(short)
  expect(standardErrorMmPerS / speed).toBeGreaterThan(0.005)
  expect(standardErrorMmPerS / speed).toBeLessThan(0.03)
})

test('with three turns of a known pitch and no ripple it is the line to a hundredth of a percent', () => {
  const { track: long, speed } = track(3, 0, 0)
  const slope = shortTravelSlope(long, 5)
  expect(slope.slopeMmPerS / speed).toBeCloseTo(1, 4)
  expect(slope.standardErrorMmPerS / speed).toBeLessThan(1e-4)
})

test('five numbers are fitted to the samples, and a degree of freedom is left at least', () => {
  const { timeS, positionMm } = track(0.5, 0, 0).track
  const of = (count: number) => ({
    timeS: timeS.subarray(0, count),
    positionMm: positionMm.subarray(0, count),
  })
  expect(shortTravelSlope(of(20)).degreesOfFreedom).toBe(15)
  expect(shortTravelSlope(of(5)).degreesOfFreedom).toBe(1)
})

test('intervals hold the true speed at any phase of a 2 % ripple, from a third of a turn to two', () => {
  let held = 0
  let tried = 0
  for (const turns of [0.35, 0.6, 1, 1.4, 2]) {
    for (let phase = 0; phase < 6.28; phase += 1.05) {
      const { track: rippled, speed } = track(turns, 0.02, phase)
      const slope = shortTravelSlope(rippled)
      tried++
      if (Math.abs(slope.slopeMmPerS - speed) <= 2 * slope.standardErrorMmPerS) held++
    }
  }
  expect(held / tried).toBeGreaterThanOrEqual(0.9)
})

test('hiddenRipple is what a ripple of 2 % does to a least-squares slope, root mean square over its phase, at most', () => {
  const n = 4000
  for (const turns of [0.2, 0.5, 0.8, 1, 1.3]) {
    const time = Array.from({ length: n }, (_, i) => i / (n - 1) - 0.5)
    const squares = time.reduce((sum, t) => sum + t * t, 0)
    const k = 2 * Math.PI * turns
    // Position sin(k·t)/k has the speed cos(k·t), a ripple of 1; its cosine phase does nothing to the slope.
    const slope = time.reduce((sum, t) => sum + (t * Math.sin(k * t)) / k, 0) / squares
    const share = hiddenRipple(turns * 4, 4)
    expect(share).toBeGreaterThanOrEqual((0.02 / Math.SQRT2) * Math.abs(slope))
    if (turns <= 1) expect(share).toBeLessThan(1.4 * (0.02 / Math.SQRT2) * Math.abs(slope))
  }
  expect(hiddenRipple(6, 4)).toBe(0)
})
