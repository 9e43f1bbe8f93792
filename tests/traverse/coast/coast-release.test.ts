import { describe, expect, it } from 'vitest'
import { type Stopping, weighReleases } from '../../../src/traverse/coast/coast-release.js'

const SPEED = 10
const COAST_S = 0.4

/** 1 s of steady travel, then a steady deceleration over 0.4 s (2 mm), then rest; no noise at all. */
function stopping(rateHz: number, shiftS = 0): Stopping {
  const times = Float64Array.from({ length: Math.round(2 * rateHz) }, (_, i) => i / rateHz + shiftS)
  const toGoMm = times.map((time) => {
    const since = time - shiftS - 1
    const coastMm = (SPEED * COAST_S) / 2
    if (since <= 0) return coastMm - SPEED * since
    return coastMm * Math.max(0, 1 - since / COAST_S) ** 2
  })
  const arrivalS = shiftS + 1 + COAST_S / 2
  return { times, toGoMm, speedMmPerS: SPEED, arrivalS, restMm: 0.0015, lateS: 0.001, samplesAStep: 1 }
}

/** Mean and standard deviation of the leads, and the mean likelihood. */
function summary(stop: Stopping, earliestS: number): { meanS: number; deviationS: number; evidence: number } {
  const leads = weighReleases(stop, earliestS)
  const weights = leads.map((lead) => Math.exp(lead.logWeight))
  const evidence = weights.reduce((sum, weight) => sum + weight, 0)
  const mean = (value: (leadS: number) => number): number =>
    leads.reduce((sum, lead, i) => sum + (weights[i]! / evidence) * value(lead.leadS), 0)
  const meanS = mean((leadS) => leadS)
  return { meanS, deviationS: Math.sqrt(mean((leadS) => (leadS - meanS) ** 2)), evidence }
}

describe('weighReleases(stopping, earliestS)', () => {
  it('finds the moment of letting go: half the time of a steady deceleration before the arrival', () => {
    const { meanS, deviationS } = summary(stopping(200), 0.5)
    expect(Math.abs(meanS - COAST_S / 2)).toBeLessThan(0.02)
    expect(Math.abs(meanS - COAST_S / 2)).toBeLessThan(2 * deviationS)
  })

  it('is the less sure the fewer lines show the stop', () => {
    const [often, seldom] = [summary(stopping(100), 0.5), summary(stopping(5), 0.5)]
    expect(seldom.deviationS).toBeGreaterThan(1.5 * often.deviationS)
    expect(Math.abs(seldom.meanS - COAST_S / 2)).toBeLessThan(2 * seldom.deviationS)
  })

  it('does not mind the origin of time', () => {
    const [here, there] = [summary(stopping(20), 0.5), summary(stopping(20, 1e6), 1e6 + 0.5)]
    expect(there.meanS).toBeCloseTo(here.meanS, 6)
    expect(there.deviationS).toBeCloseTo(here.deviationS, 6)
  })

  it('has no release before the earliest one', () => {
    const stop = stopping(20)
    expect(Math.max(...weighReleases(stop, 1.1).map((lead) => lead.leadS))).toBeLessThan(stop.arrivalS - 1.1)
  })

  it('makes the samples likelier with the speed that they have', () => {
    const right = stopping(50)
    const wrong = { ...right, speedMmPerS: 0.9 * SPEED }
    expect(summary(right, 0.5).evidence).toBeGreaterThan(7 * summary(wrong, 0.5).evidence)
  })
})
