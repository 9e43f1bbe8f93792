import { describe, expect, test } from 'vitest'
import { measureReadout, type StampedLine } from '../../../src/ingest/index.js'
import { seededRandom } from '../../../src/simulation/seeded-random.js'

/** A readout's arrivals and values; every line holds the axis. */
function heard(timeS: readonly number[], values: readonly number[]) {
  const lines: StampedLine[] = timeS.map((one, i) => ({ timeS: one, text: String(values[i]) }))
  return { lines, series: { timeS, values } }
}

const beat = (count: number, hz: number) => Array.from({ length: count }, (_, i) => 100 + i / hz)
/** Travels by 5 µm steps. */
const travel = (count: number) => Array.from({ length: count }, (_, i) => Math.round(i * 7.3) * 0.005)

describe('measureReadout(lines, series, lastDigit, mmPerNumber)', () => {
  test('tells rate, scatter and step', () => {
    const random = seededRandom(5)
    const late = beat(600, 20).map((one) => one + 0.008 * random.uniform())
    const { lines, series } = heard(late, travel(600))
    const measured = measureReadout(lines, series, 0.001, 1)!
    expect(measured.refreshHz).toBeCloseTo(20, 1)
    // Uniform over 8 ms: 8/sqrt(12) = 2.3 ms; the median over stretches of 12 lines tells it to a tenth.
    expect(measured.arrivalJitterS).toBeGreaterThan(0.0019)
    expect(measured.arrivalJitterS).toBeLessThan(0.0027)
    expect(measured.positionStepMm).toBeCloseTo(0.005, 12)
    expect(measured).toMatchObject({ mostLinesTogether: 1, togetherShare: 0, lines: 600 })
  })

  test('leaves the step open while the worth of a number is not known', () => {
    const { lines, series } = heard(beat(100, 10), travel(100))
    expect(measureReadout(lines, series, 0.001, null)!.positionStepMm).toBeNull()
  })

  test('counts lines that arrive together', () => {
    // Batches of 3, of which the lines share their stamp.
    const timeS = Array.from({ length: 90 }, (_, i) => 5 + Math.floor(i / 3) * 0.06)
    const { lines, series } = heard(timeS, travel(90))
    expect(measureReadout(lines, series, 0.001, 1)).toMatchObject({ mostLinesTogether: 3, togetherShare: 1 })
  })

  test('is not misled by a lost line', () => {
    const timeS = beat(200, 10).filter((_, i) => i !== 33 && i !== 150)
    const { lines, series } = heard(timeS, travel(198))
    expect(measureReadout(lines, series, 0.001, 1)!.refreshHz).toBeCloseTo(10, 1)
  })

  test('is not misled by many lost lines, nor by batches longer than the beat', () => {
    const random = seededRandom(8)
    const lossy = beat(400, 10).filter(() => random.uniform() > 0.04)
    const lost = heard(lossy, travel(lossy.length))
    expect(measureReadout(lost.lines, lost.series, 0.001, 1)!.refreshHz).toBeCloseTo(10, 1)
    const batched = beat(600, 60).map((one) => Math.ceil(one / 0.064) * 0.064)
    const late = heard(batched, travel(600))
    const { refreshHz } = measureReadout(late.lines, late.series, 0.001, 1)!
    expect(Math.abs(refreshHz / 60 - 1)).toBeLessThan(0.03)
  })

  test('tells whether a value is repeated at rest', () => {
    const resting = heard(beat(100, 10), [...travel(60), ...Array(40).fill(2.19)])
    expect(measureReadout(resting.lines, resting.series, 0.001, 1)!.repeatsAtRest).toBe(true)
    const pausing = heard(
      beat(100, 10).map((one, i) => (i < 60 ? one : one + 3)),
      travel(100),
    )
    expect(measureReadout(pausing.lines, pausing.series, 0.001, 1)!.repeatsAtRest).toBe(false)
    const moving = heard(beat(100, 10), travel(100))
    expect(measureReadout(moving.lines, moving.series, 0.001, 1)!.repeatsAtRest).toBeNull()
  })

  test('says nothing of too few lines, or of lines that all came at once', () => {
    expect(measureReadout([], { timeS: [], values: [] }, 0.001, 1)).toBeNull()
    const { lines, series } = heard(Array(30).fill(4), travel(30))
    expect(measureReadout(lines, series, 0.001, 1)).toBeNull()
  })
})
