import { describe, expect, it } from 'vitest'
import { type PracticeRound, pressErrors, stopwatchFeed } from '../../../src/regression/index.js'
import { seededRandom } from '../../../src/simulation/index.js'

describe('pressErrors(rounds)', () => {
  it('pools the spread of start and stop presses, each about its own mean: worked by hand', () => {
    const errors = pressErrors([
      { startLateS: 0.1, stopLateS: 0.1 },
      { startLateS: 0.2, stopLateS: 0.15 },
      { startLateS: 0.15, stopLateS: 0.2 },
    ])
    // Squares about the mean 0.15: 2 × 0.005, with 4 degrees: √0.0025.
    expect(errors.spreadS).toBeCloseTo(0.05, 12)
    expect(errors.degreesOfFreedom).toBe(4)
    expect(errors.latenessS).toBeCloseTo(0.15, 12)
    expect(errors.biasS).toBeCloseTo(0, 12)
    expect(errors.biasUncertaintyS).toBeCloseTo(Math.sqrt(0.005 / 3), 12)
    expect(errors.pressSpreadS).toBeCloseTo(0.05, 12)
  })

  it('counts a bias that chance does not explain as uncertainty, so that 2 s² of a timing holds it', () => {
    const rounds = [0.1, 0.2, 0.15].map((startLateS) => ({ startLateS, stopLateS: startLateS + 0.3 }))
    const { biasS, spreadS, pressSpreadS } = pressErrors(rounds)
    expect(biasS).toBeCloseTo(0.3, 12)
    expect(2 * pressSpreadS ** 2).toBeCloseTo(2 * spreadS ** 2 + 0.09 - (2 * spreadS ** 2) / 3, 12)
  })

  it('tells nothing from fewer than three rounds', () => {
    expect(() => pressErrors([])).toThrow(RangeError)
  })

  it('makes timings whose 95 % interval holds the true feed 95 times in a hundred', () => {
    const TIMINGS = 4000
    const random = seededRandom(11)
    const press = () => random.normal(0.12, 0.09)
    let held = 0
    for (let k = 0; k < TIMINGS; k++) {
      const rounds: PracticeRound[] = Array.from({ length: 10 }, () => ({
        startLateS: press(),
        stopLateS: press(),
      }))
      const { pressSpreadS, degreesOfFreedom } = pressErrors(rounds)
      const watch = 0.05 * (2 * random.uniform() - 1)
      const run = stopwatchFeed({
        distanceMm: 100,
        durationS: 30 + press() - press() + watch,
        pressSpreadS,
        pressDegreesOfFreedom: degreesOfFreedom,
      })
      const [low, high] = run.interval95MmPerMin
      if (low <= 200 && 200 <= high) held++
    }
    // Standard error of the share 0.35 %; a bias by chance alone makes the interval a little wide.
    expect(held / TIMINGS).toBeGreaterThan(0.94)
    expect(held / TIMINGS).toBeLessThan(0.975)
  })
})
