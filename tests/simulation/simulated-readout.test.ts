import { describe, expect, test } from 'vitest'
import {
  INCH_READOUT,
  QUILLFEN_MILL,
  readoutLines,
  type SimulatedReadout,
  simulateRun,
} from '../../src/simulation/index.js'

const { motion } = simulateRun(QUILLFEN_MILL, { dial: 6, direction: 1, drivenMm: 60 }, 2)

const linesOf = (change: Partial<SimulatedReadout>, seed = 9) => [
  ...readoutLines(motion, { ...INCH_READOUT, ...change }, seed),
]
const textsOf = (change: Partial<SimulatedReadout>) =>
  linesOf(change).map(({ bytes }) => bytes.toString('latin1').replace(/[\r\n]+$/, ''))

describe('readoutLines(motion, readout, seed)', () => {
  test('shows the true position to half a step, at its own rate', () => {
    const lines = linesOf({})
    for (const { sampledS, shownMm } of lines) {
      expect(Math.abs(shownMm - motion.positionMmAt(sampledS))).toBeLessThanOrEqual(
        INCH_READOUT.stepMm / 2 + 1e-12,
      )
    }
    expect(lines[1]!.sampledS - lines[0]!.sampledS).toBeCloseTo(0.1, 12)
    expect(lines.length).toBe(Math.floor(motion.durationS * 10 - lines[0]!.sampledS * 10) + 1)
  })

  test('writes each shape of line', () => {
    expect(textsOf({})[0]).toBe('X+000.0000')
    expect(textsOf({ shape: { kind: 'labelled', axis: 'X', unitSuffix: true } }).at(-1)).toMatch(
      /^X\+002\.\d{4}in$/,
    )
    const axes = ['X', 'Y', 'Z']
    expect(textsOf({ shape: { kind: 'several-axes', axis: 'X', axes } })[0]).toBe(
      'X+000.0000 Y-000.2480 Z-000.2480',
    )
    expect(textsOf({ shape: { kind: 'columns', column: 1, columns: 2 } })[0]).toBe('-0.2480,0.0000')
    expect(textsOf({ shape: { kind: 'counts' } }).at(-1)).toMatch(/^\+00\d{5}$/)
    expect(textsOf({ unit: 'mm', stepMm: 0.005 }).at(-1)).toMatch(/^X\+0060\.\d{2}[05]$/)
  })

  test('counts its own clock at its own rate and wraps at 16 bits', () => {
    const deviceTime = { place: 'last', bits: 16, rateError: 0.004, startsAtMs: 63_000 } as const
    const clocks = textsOf({ deviceTime }).map((text) => Number(text.split(' ')[1]))
    const sampled = linesOf({ deviceTime }).map(({ sampledS }) => sampledS)
    const unwrapped = clocks.map((ms) => (ms < 40_000 ? ms + 65_536 : ms))
    expect(Math.min(...clocks)).toBeLessThan(10_000)
    const rate = (unwrapped.at(-1)! - unwrapped[0]!) / 1000 / (sampled.at(-1)! - sampled[0]!)
    expect(rate).toBeCloseTo(1.004, 3)
  })

  test('drops, spoils and cuts lines as told', () => {
    const all = linesOf({}).length
    const kept = linesOf({ faults: { droppedLineShare: 0.3 } }).length
    expect(Math.abs(kept / all - 0.7)).toBeLessThan(4 * Math.sqrt(0.21 / all))
    expect(textsOf({ faults: { startsMidLine: true } })[0]).toBe('.0000')
    const spoiled = textsOf({ faults: { garbageByteShare: 1 } })
    expect(spoiled.every((text) => text.length === 'X+000.0000'.length)).toBe(true)
    expect(spoiled.filter((text, index) => text === textsOf({})[index])).toEqual([])
  })

  test('zeroes midway, switches its unit midway, shows outliers and falls silent', () => {
    const zeroed = linesOf({ faults: { zeroedAtS: 5 } })
    const before = zeroed.findLast(({ sampledS }) => sampledS < 5)!
    const after = zeroed.find(({ sampledS }) => sampledS >= 5)!
    expect(before.shownMm).toBeGreaterThan(5)
    expect(Math.abs(after.shownMm)).toBeLessThan(1)
    expect(textsOf({ faults: { unitSwitchedAtS: 5 } }).at(-1)).toMatch(/^X\+0060\.\d{3}$/)
    const outliers = linesOf({ faults: { outlierShare: 0.2, outlierMm: 3 } }).filter(
      ({ sampledS, shownMm }) => Math.abs(shownMm - motion.positionMmAt(sampledS)) > 2.9,
    )
    expect(outliers.length).toBeGreaterThan(5)
    const silent = linesOf({ faults: { silentS: [3, 5] } })
    expect(silent.some(({ sampledS }) => sampledS >= 3 && sampledS < 5)).toBe(false)
  })

  test('repeats for the same seed', () => {
    const faults = { droppedLineShare: 0.1, garbageByteShare: 0.1, outlierShare: 0.05, outlierMm: 1 }
    expect(linesOf({ faults })).toEqual(linesOf({ faults }))
    expect(linesOf({ faults }, 10)).not.toEqual(linesOf({ faults }))
  })
})
