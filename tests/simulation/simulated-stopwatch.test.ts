import { mean, sampleStandardDeviation } from 'simple-statistics'
import { describe, expect, test } from 'vitest'
import { QUILLFEN_MILL, simulateRun, stopwatchReading } from '../../src/simulation/index.js'

const REQUEST = { dial: 6, direction: 1, drivenMm: 150 } as const

describe('stopwatchReading(run, distance, seed)', () => {
  test('spreads by √2 presses about the true time (4 standard errors of 400 readings)', () => {
    const run = simulateRun(QUILLFEN_MILL, REQUEST, 5)
    const times = Array.from({ length: 400 }, (_, seed) => stopwatchReading(run, 100, seed).timeS)
    expect(Math.abs(mean(times) - (100 / run.truth.runFeedMmPerMin) * 60)).toBeLessThan((4 * 0.1) / 20)
    expect(Math.abs(sampleStandardDeviation(times) / (0.07 * Math.SQRT2) - 1)).toBeLessThan(
      4 / Math.sqrt(800) + 0.01,
    )
  })

  test('refuses a distance the run did not travel steadily', () => {
    expect(() => stopwatchReading(simulateRun(QUILLFEN_MILL, REQUEST, 5), 400, 1)).toThrow(RangeError)
  })
})
