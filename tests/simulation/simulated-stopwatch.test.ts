import { describe, expect, test } from 'vitest'
import { QUILLFEN_MILL, simulateRun, stopwatchReading } from '../../src/simulation/index.js'

const REQUEST = { dial: 6, direction: 1, drivenMm: 150 } as const

const spread = (values: readonly number[]) => {
  const mean = values.reduce((sum, value) => sum + value, 0) / values.length
  return {
    mean,
    sd: Math.sqrt(values.reduce((sum, value) => sum + (value - mean) ** 2, 0) / (values.length - 1)),
  }
}

describe('stopwatchReading(run, distance, seed)', () => {
  test('spreads by √2 presses about the true time (4 standard errors of 400 readings)', () => {
    const run = simulateRun(QUILLFEN_MILL, REQUEST, 5)
    const times = Array.from({ length: 400 }, (_, seed) => stopwatchReading(run, 100, seed).timeS)
    const { mean, sd } = spread(times)
    expect(Math.abs(mean - (100 / run.truth.runFeedMmPerMin) * 60)).toBeLessThan((4 * 0.1) / 20)
    expect(Math.abs(sd / (0.07 * Math.SQRT2) - 1)).toBeLessThan(4 / Math.sqrt(800) + 0.01)
  })

  test('refuses a distance the run did not travel steadily', () => {
    expect(() => stopwatchReading(simulateRun(QUILLFEN_MILL, REQUEST, 5), 400, 1)).toThrow(RangeError)
  })
})
