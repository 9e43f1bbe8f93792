import { expect, test } from 'vitest'
import { straightLine } from '../../../src/numbers/index.js'
import { hiddenRamp } from '../../../src/regression/run/hidden-ramp.js'
import { NO_RAMPS_LEFT, type RampsLeft, type Track } from '../../../src/traverse/index.js'
import { seededUniform } from '../../traverse/simulated-traverse.js'

const SPEED = 4
const MAY_RAMP: RampsLeft = {
  startSeen: true,
  start: [{ timeConstantS: 0.5, share: 0.3, weight: 0.5 }],
  end: [],
}

/** 4 mm/s for so long, read forty times a second to 5 µm, slower at first by a share that fades in 0.5 s. */
function track(spanS: number, share: number, seed = 1): Track {
  const uniform = seededUniform(seed)
  const timeS = Float64Array.from({ length: 40 * spanS }, (_, i) => i / 40)
  const rampMm = (time: number): number => share * SPEED * 0.5 * Math.exp(-time / 0.5)
  const positionMm = timeS.map((time) => SPEED * time + rampMm(time) + 0.01 * (uniform() - 0.5))
  return { timeS, positionMm: positionMm.map((mm) => Math.round(mm / 0.005) * 0.005) }
}

test('without any ramp to reckon with nothing is added', () => {
  expect(hiddenRamp(track(3, 0), NO_RAMPS_LEFT)).toEqual({ shiftMmPerS: 0, uncertaintyMmPerS: 0 })
})

test('a ramp that the samples show is taken off the slope, and leaves its form in the uncertainty', () => {
  const ramped = track(3, 0.2)
  const line = straightLine(ramped.timeS, ramped.positionMm)
  const { shiftMmPerS, uncertaintyMmPerS } = hiddenRamp(ramped, MAY_RAMP)
  expect(line.slope / SPEED).toBeLessThan(0.98)
  expect((line.slope + shiftMmPerS) / SPEED).toBeCloseTo(1, 2)
  expect(uncertaintyMmPerS).toBeGreaterThan(0.5 * shiftMmPerS)
})

test('samples that show no ramp move the slope by less than their own scatter does', () => {
  const steady = track(6, 0)
  const { shiftMmPerS, uncertaintyMmPerS } = hiddenRamp(steady, MAY_RAMP)
  expect(Math.abs(shiftMmPerS) / SPEED).toBeLessThan(1e-4)
  expect(uncertaintyMmPerS / SPEED).toBeLessThan(3e-4)
})

test('samples too few to tell leave the slope as uncertain as the ramp makes it', () => {
  const short = track(0.25, 0)
  expect(hiddenRamp(short, MAY_RAMP).uncertaintyMmPerS / SPEED).toBeGreaterThan(0.02)
})

test('a travel the other way gives the same, turned round', () => {
  const there = track(2, 0.1)
  const back = { ...there, positionMm: there.positionMm.map((mm) => -mm) }
  const [one, other] = [hiddenRamp(there, MAY_RAMP), hiddenRamp(back, MAY_RAMP)]
  expect(other.shiftMmPerS).toBeCloseTo(-one.shiftMmPerS, 9)
  expect(other.uncertaintyMmPerS).toBeCloseTo(one.uncertaintyMmPerS, 9)
})

test('a ramp that has all but faded before the samples begin leaves a number, and no trace in it', () => {
  // A quick drive under a slow display: what is left of its ramp is too small to be squared.
  const gone = { timeConstantS: 0.002, share: 1e-176, weight: 0.5 }
  const steady = track(3, 0)
  expect(hiddenRamp(steady, { startSeen: true, start: [gone], end: [] })).toEqual(
    hiddenRamp(steady, NO_RAMPS_LEFT),
  )
})

test('ramps at both ends of a travel so short that they overlap are taken off together', () => {
  const spanS = 1.5
  const both = { timeConstantS: 0.3, share: 0.3, weight: 1 }
  const { timeS, positionMm } = track(spanS, 0)
  const ramped = positionMm.map((mm, i) => {
    const rampMm = (share: number, sinceS: number) => share * SPEED * 0.3 * Math.exp(-sinceS / 0.3)
    return mm + rampMm(0.3, timeS[i]!) - rampMm(0.25, spanS - timeS[i]!)
  })
  const line = straightLine(timeS, ramped)
  const { shiftMmPerS } = hiddenRamp(
    { timeS, positionMm: ramped },
    { startSeen: true, start: [both], end: [both] },
  )
  expect(line.slope / SPEED).toBeLessThan(0.93)
  expect(Math.abs((line.slope + shiftMmPerS) / SPEED - 1)).toBeLessThan(0.01)
})
