import { describe, expect, test } from 'vitest'
import { type DeviceClockFit, fitDeviceClock, poolClockRates } from '../../src/ingest/index.js'
import { seededRandom } from '../../src/simulation/seeded-random.js'

/** Host and device times of `count` lines at 10 a second: one-sided delays up to 16 ms, a clock in whole ms. */
function session(seed: number, count: number, rate: number, originS = 5e5) {
  const random = seededRandom(seed)
  const trueS = Array.from({ length: count }, (_, i) => i / 10)
  const device = Float64Array.from(trueS, (s) => Math.floor((1000 * s) / rate) / 1000 + 77)
  const host = Float64Array.from(trueS, (s) => originS + s + 0.016 * random.uniform())
  return { host, device }
}

describe('fitDeviceClock(hostTimeS, deviceTimeS)', () => {
  test.each([
    [200, 80e-6],
    [600, 16e-6],
    [3000, 2e-6],
  ])('finds the rate of a resonator 0.3 %% off, with %i lines', (count, atMost) => {
    // Limits: scatter of uniform delays of 16 ms, 16 ms/sqrt(12) · sqrt(12/n)/T, and a little more.
    const fits = Array.from({ length: 200 }, (_, seed) => {
      const { host, device } = session(1000 + seed, count, 1.003)
      return fitDeviceClock(host, device)!
    })
    const rms = Math.sqrt(fits.reduce((sum, fit) => sum + (fit.rate / 1.003 - 1) ** 2, 0) / fits.length)
    expect(rms).toBeLessThan(atMost)
    const covered = fits.filter((fit) => Math.abs(fit.rate / 1.003 - 1) < 1.96 * fit.standardUncertainty)
    // 200 trials of 95 %: 2.6 standard deviations are 4 %.
    expect(covered.length / fits.length).toBeGreaterThan(0.91)
    expect(fits.every((fit) => fit.fault === null)).toBe(true)
  })

  test('leaves out lines that a busy computer took in late', () => {
    const { host, device } = session(1, 600, 1.003)
    for (let i = 500; i < 530; i += 1) host[i]! += 0.3
    const fit = fitDeviceClock(host, device)!
    expect(fit.samplesUsed).toBe(570)
    expect(Math.abs(fit.rate / 1.003 - 1)).toBeLessThan(4 * fit.standardUncertainty)
    expect(fit.fault).toBeNull()
  })

  test('takes one line that is seconds late for no jump', () => {
    const { host, device } = session(2, 600, 1)
    host[300]! += 0.09
    device[400]! -= 3
    expect(fitDeviceClock(host, device)!.fault).toBeNull()
  })

  test('reports a clock that was set anew, and fits the longer part', () => {
    const { host, device } = session(3, 600, 1.002)
    for (let i = 450; i < 600; i += 1) device[i]! -= 40
    const fit = fitDeviceClock(host, device)!
    expect(fit.fault).toEqual({ kind: 'jumped', atS: host[450] })
    expect(fit.rate).toBeCloseTo(1.002, 4)
    expect(fit.spanS).toBeCloseTo(45, 0)
  })

  test('reports a clock that stands still', () => {
    const { host, device } = session(4, 600, 1)
    for (let i = 400; i < 600; i += 1) device[i] = device[400]!
    expect(fitDeviceClock(host, device)!.fault).toEqual({ kind: 'stopped', atS: host[400] })
  })

  test('reports a clock that runs at no plausible rate', () => {
    const { host, device } = session(5, 300, 1.08)
    expect(fitDeviceClock(host, device)!.fault?.kind).toBe('off-rate')
  })

  test('says nothing from too few samples, or none', () => {
    expect(fitDeviceClock(new Float64Array(), new Float64Array())).toBeNull()
    const { host, device } = session(6, 9, 1)
    expect(fitDeviceClock(host, device)).toBeNull()
    const { host: all, device: same } = session(6, 30, 1)
    expect(fitDeviceClock(all.subarray(0, 1), same.subarray(0, 1))).toBeNull()
  })
})

describe('poolClockRates(fits)', () => {
  const clockFit = (rate: number, standardUncertainty: number): DeviceClockFit => ({
    rate,
    standardUncertainty,
    samplesUsed: 100,
    spanS: 10,
    fault: null,
  })

  test('weighs by the inverse variance', () => {
    // By hand: weights 4 : 1, u = 1/sqrt(1/1² + 1/2²) ppm.
    const pooled = poolClockRates([clockFit(1.003, 1e-6), clockFit(1.003 + 1e-6, 2e-6)])!
    expect(pooled.rate - 1.003).toBeCloseTo(0.2e-6, 12)
    expect(pooled.standardUncertainty).toBeCloseTo(Math.sqrt(0.8) * 1e-6, 12)
  })

  test('widens the uncertainty where the recordings disagree', () => {
    // By hand: chi² = 2 · 5² / 1 degree of freedom, so sqrt(50) wider than 1 ppm/sqrt(2).
    const pooled = poolClockRates([clockFit(1, 1e-6), clockFit(1 + 10e-6, 1e-6)])!
    expect(pooled.standardUncertainty).toBeCloseTo(5e-6, 11)
  })

  test('leaves out faulty clocks, and gives null without a sound one', () => {
    const faulty: DeviceClockFit = { ...clockFit(1.5, 1e-9), fault: { kind: 'off-rate', atS: 0 } }
    expect(poolClockRates([faulty, clockFit(1.001, 1e-6)])!.rate).toBe(1.001)
    expect(poolClockRates([faulty])).toBeNull()
  })
})
