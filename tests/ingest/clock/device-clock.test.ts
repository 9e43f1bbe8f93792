import { describe, expect, test } from 'vitest'
import {
  type DeviceClockFit,
  fitDeviceClock,
  poolClockRates,
  type WireTime,
} from '../../../src/ingest/index.js'
import { seededRandom } from '../../../src/simulation/seeded-random.js'
import { howMany, leastShare } from '../../harness/proof-mode.js'

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
    const fits = Array.from({ length: howMany(100, 200) }, (_, seed) => {
      const { host, device } = session(1000 + seed, count, 1.003)
      return fitDeviceClock(host, device)!
    })
    const rms = Math.sqrt(fits.reduce((sum, fit) => sum + (fit.rate / 1.003 - 1) ** 2, 0) / fits.length)
    expect(rms).toBeLessThan(atMost)
    const covered = fits.filter((fit) => Math.abs(fit.rate / 1.003 - 1) < 1.96 * fit.standardUncertainty)
    expect(covered.length / fits.length).toBeGreaterThan(leastShare(0.95, fits.length))
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

  test('tells what a byte takes on the wire beside the rate, where the clock gains digits', () => {
    // 9600 baud: 1.04 ms a byte; the clock has 4 digits until 10 s and 5 from then on.
    const byteS = 10 / 9600
    const fits = Array.from({ length: howMany(150, 300) }, (_, seed) => {
      const { host, device } = session(3000 + seed, 300, 1.003)
      const bytes = device.map((s) => 6 + String(Math.round(1000 * (s - 76))).length)
      const late = host.map((s, i) => s + bytes[i]! * byteS)
      return { blind: fitDeviceClock(late, device)!, fit: fitDeviceClock(late, device, bytes)! }
    })
    const within = (fit: DeviceClockFit) => Math.abs(fit.rate / 1.003 - 1) < 1.96 * fit.standardUncertainty
    const mean = fits.reduce((sum, { fit }) => sum + fit.unwired.wire.secondsPerByte, 0) / fits.length
    // One fit tells it to 0.96 ms (16 ms/sqrt(12); what the trend leaves of 0.3 · 300 shorter lines is worth 23), so
    // the mean of 300 to 0.055 ms and of 150 to 0.078 ms: 3 of these.
    expect(Math.abs(mean - byteS)).toBeLessThan(howMany(2.3e-4, 1.7e-4))
    const held = fits.filter(({ fit }) => within(fit)).length / fits.length
    expect(held).toBeGreaterThan(leastShare(0.95, fits.length))
    expect(fits.filter(({ blind }) => within(blind)).length / fits.length).toBeLessThan(howMany(0.75, 0.7))
  })

  test('stays a number where nothing scatters, as in a recording that was made up', () => {
    const device = Float64Array.from({ length: 100 }, (_, i) => i / 10)
    const bytes = device.map((_, i) => (i < 50 ? 6 : 7))
    expect(fitDeviceClock(device, device, bytes)!.rate).toBeCloseTo(1, 3)
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
    unwired: {
      rate,
      standardUncertainty: standardUncertainty / rate,
      wire: { secondsPerByte: 0, standardUncertainty: Number.POSITIVE_INFINITY, bytesPerS: 0 },
    },
  })

  test('weighs by the inverse variance', () => {
    // By hand: weights 4 : 1, u = 1/sqrt(1/1² + 1/2²) ppm.
    const pooled = poolClockRates([clockFit(1.003, 1e-6), clockFit(1.003 + 1e-6, 2e-6)]).rate!
    expect(pooled.rate - 1.003).toBeCloseTo(0.2e-6, 12)
    expect(1.003 * pooled.standardUncertainty).toBeCloseTo(Math.sqrt(0.8) * 1e-6, 12)
  })

  test('widens the uncertainty where the recordings disagree', () => {
    // By hand: chi² = 2 · 5² / 1 degree of freedom, so sqrt(50) wider than 1 ppm/sqrt(2).
    const pooled = poolClockRates([clockFit(1, 1e-6), clockFit(1 + 10e-6, 1e-6)]).rate!
    expect(pooled.rate * pooled.standardUncertainty).toBeCloseTo(5e-6, 11)
  })

  test('leaves out faulty clocks, and gives null without a sound one', () => {
    const faulty: DeviceClockFit = { ...clockFit(1.5, 1e-9), fault: { kind: 'off-rate', atS: 0 } }
    expect(poolClockRates([faulty, clockFit(1.001, 1e-6)]).rate?.rate).toBe(1.001)
    expect(poolClockRates([faulty]).rate).toBeNull()
  })

  test('counts the error of a byte time once for all recordings', () => {
    // By hand: lines grew by 0.1 byte/s in both; 1 ms a byte is 100 ppm, its 0.1 ms are 10 ppm however many there are.
    const grown = (own: WireTime): DeviceClockFit => {
      const fit = clockFit(1.0031, 1e-6)
      return { ...fit, unwired: { ...fit.unwired, wire: { ...own, bytesPerS: 0.1 } } }
    }
    const silent = { secondsPerByte: 0, standardUncertainty: Number.POSITIVE_INFINITY }
    const expected = { secondsPerByte: 1e-3, standardUncertainty: 1e-4 }
    const { rate, wireTime } = poolClockRates([grown(silent), grown(silent)], expected)
    expect(wireTime).toEqual(expected)
    expect(rate!.rate).toBeCloseTo(1.003, 9)
    expect(1.003 * rate!.standardUncertainty).toBeCloseTo(Math.hypot(10e-6, 1e-6 / Math.SQRT2), 10)
  })
})
