import { sampleStandardDeviation } from 'simple-statistics'
import { describe, expect, test } from 'vitest'
import { QUILLFEN_MILL, simulateRun, simulateSession } from '../../src/simulation/index.js'

const REQUEST = { dial: 6, direction: 1, drivenMm: 150 } as const

describe('simulateRun(mill, request, seed)', () => {
  test('gives the same run for the same seed', () => {
    const a = simulateRun(QUILLFEN_MILL, REQUEST, 3)
    const b = simulateRun(QUILLFEN_MILL, REQUEST, 3)
    expect(a.truth).toEqual(b.truth)
    expect(a.motion.positionMmAt(9.87)).toBe(b.motion.positionMmAt(9.87))
    expect(simulateRun(QUILLFEN_MILL, REQUEST, 4).truth.runFeedMmPerMin).not.toBe(a.truth.runFeedMmPerMin)
  })

  test('scatters from run to run by what the mill states, the dial kept (4 standard errors of 400 runs)', () => {
    const feeds = Array.from({ length: 400 }, (_, seed) =>
      Math.log(
        simulateRun(QUILLFEN_MILL, { ...REQUEST, keptDial: 6 }, seed).truth.runFeedMmPerMin /
          QUILLFEN_MILL.curve(6),
      ),
    )
    expect(Math.abs(sampleStandardDeviation(feeds) / QUILLFEN_MILL.runScatter - 1)).toBeLessThan(
      4 / Math.sqrt(800),
    )
  })

  test('scatters the dial by what the mill states', () => {
    const dials = Array.from(
      { length: 400 },
      (_, seed) => simulateRun(QUILLFEN_MILL, REQUEST, seed).truth.dialActual,
    )
    expect(Math.abs(sampleStandardDeviation(dials) / QUILLFEN_MILL.dialResetScatter - 1)).toBeLessThan(
      4 / Math.sqrt(800),
    )
  })

  test('tells the feed of the setting apart from the feed of the run', () => {
    const still = { ...QUILLFEN_MILL, runScatter: 0, dialResetScatter: 0 }
    const { truth } = simulateRun(still, { ...REQUEST, direction: -1 }, 1)
    expect(truth.runFeedMmPerMin).toBeCloseTo(truth.settingFeedMmPerMin, 9)
    expect(truth.settingFeedMmPerMin).toBeCloseTo(still.curve(6) * still.minusFactor, 9)
  })

  test('the rapid traverse has a feed of its own and a longer coast', () => {
    const rapid = simulateRun(QUILLFEN_MILL, { ...REQUEST, dial: 'rapid' }, 1).truth
    expect(rapid.settingFeedMmPerMin).toBe(QUILLFEN_MILL.rapidFeedMmPerMin)
    expect(rapid.coastMm).toBeGreaterThan(simulateRun(QUILLFEN_MILL, REQUEST, 1).truth.coastMm)
  })

  test('the operator lets go after the longest time', () => {
    const { truth } = simulateRun(QUILLFEN_MILL, { ...REQUEST, dial: 1, longestS: 20 }, 1)
    const { startS, driveOffS } = truth.phases!
    expect(driveOffS - startS).toBeCloseTo(20 + QUILLFEN_MILL.rampTimeConstantS, 3)
  })
})

describe('simulateSession(mill, requests, seed)', () => {
  const warming = { ...QUILLFEN_MILL, warmUp: { relative: 0.04, timeConstantS: 60 } }
  const toAndFro = [REQUEST, { ...REQUEST, direction: -1 } as const, REQUEST]

  test('goes on where the run before came to rest', () => {
    const { motion, truths } = simulateSession(QUILLFEN_MILL, toAndFro, 11)
    const step = 0.01
    for (let timeS = 0; timeS + step < motion.durationS; timeS += step) {
      const change = motion.positionMmAt(timeS + step) - motion.positionMmAt(timeS)
      expect(Math.abs(change)).toBeLessThan(0.15)
    }
    expect(truths.map((truth) => truth.direction)).toEqual([1, -1, 1])
    expect(truths[1]!.phases!.startS).toBeGreaterThan(truths[0]!.phases!.restS)
  })

  test('warms up from run to run', () => {
    const feeds = simulateSession(warming, toAndFro, 11).truths.map((truth) => truth.settingFeedMmPerMin)
    expect(feeds[2]).toBeGreaterThan(feeds[0]! * 1.01)
    expect(feeds[0]).toBe(warming.curve(6))
  })
})
