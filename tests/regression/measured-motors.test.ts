import { readFileSync } from 'node:fs'
import { describe, expect, it } from 'vitest'
import { fitAxis } from '../../src/regression/fit-axis.js'
import type { RunEvidence } from '../../src/regression/index.js'

// fixtures/open-data/README.md names source and licence: two real motors, both directions, two sessions.
const points = readFileSync(new URL('../../fixtures/open-data/dc-motor-speed.csv', import.meta.url), 'utf8')
  .trim()
  .split('\n')
  .slice(1)
  .map((line) => {
    const [session, wheel, command, speed] = line.split(',')
    const direction = Number(command) > 0 ? (1 as const) : (-1 as const)
    return { session, wheel, direction, dial: Math.abs(Number(command)), speed: Math.abs(Number(speed)) }
  })

/** Commands taken as dial marks, from where the motors begin to turn steadily to the top. */
const MARKS = [60, 80, 100, 130, 160, 190, 220, 250]

describe.each(['left', 'right'])('the %s motor, eight commands as marks, one run a session', (wheel) => {
  const own = points.filter((point) => point.wheel === wheel && point.dial >= 60 && point.dial <= 250)
  const runs: RunEvidence[] = own
    .filter((point) => MARKS.includes(point.dial))
    .map((point) => ({
      runId: `${point.session}${point.direction * point.dial}`,
      dial: point.dial,
      direction: point.direction,
      feedMmPerMin: point.speed,
      // The encoder's own resolution: speeds are given in steps of a third to a whole rev/min.
      standardUncertaintyMmPerMin: 0.3,
      source: 'readout',
    }))
  const others = own.filter((point) => !MARKS.includes(point.dial))
  const fit = fitAxis(runs, { stepped: false, dialClicks: true })
  const judged = others.map((point) => {
    const curve = fit.directions.find((side) => side.direction === point.direction)!.curve
    const near = curve.reduce((a, b) =>
      Math.abs(b.dial - point.dial) < Math.abs(a.dial - point.dial) ? b : a,
    )
    const [low, high] = near.nextSetting95!
    return {
      held: point.speed >= low && point.speed <= high,
      halfWidth: (high - low) / 2 / near.feedMmPerMin,
    }
  })

  it('has more than a hundred other points, nearly all within the band of the next setting', () => {
    expect(judged.length).toBeGreaterThan(100)
    expect(judged.filter((point) => point.held).length / judged.length).toBeGreaterThan(0.93)
  })

  it('has a band no wider than the sessions differ', () => {
    const halfWidth = judged.reduce((sum, point) => sum + point.halfWidth, 0) / judged.length
    const differences = [1, -1].flatMap((direction) =>
      MARKS.flatMap((dial) => {
        const [a, b] = runs.filter((run) => run.dial === dial && run.direction === direction)
        // The left motor stands still at one mark.
        return a && b && a.feedMmPerMin > 0 ? [Math.abs(Math.log(a.feedMmPerMin / b.feedMmPerMin))] : []
      }),
    )
    const meanDifference = differences.reduce((sum, difference) => sum + difference, 0) / differences.length
    // Two runs with difference d give σ = d/√2 and a next-setting half width of 1.96 · σ · √(3/2) = 1.7 d at best.
    expect(halfWidth).toBeLessThan(2 * 1.7 * meanDifference)
  })
})
