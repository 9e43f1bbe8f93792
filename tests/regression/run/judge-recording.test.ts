import { expect, test } from 'vitest'
import type { RejectedLine } from '../../../src/ingest/index.js'
import { judgeRecording, type RecordedSamples } from '../../../src/regression/index.js'
import { joinRecordings, simulateTraverse } from '../../traverse/simulated-traverse.js'

const CLEAN = { seed: 8, feedMmPerMin: 150, driveS: 30, arrivalDelayS: 0.01 }

function recording(
  samples: RecordedSamples['samples'],
  rejected: readonly RejectedLine[] = [],
): RecordedSamples {
  return { samples, rejected, positionStepMm: 0.005 }
}

test('judgeRecording gives each traverse its feed and counts every line once', () => {
  const { samples } = simulateTraverse(CLEAN)
  const rejected = [
    { timeS: 0.1, code: 'partial' as const },
    { timeS: 12, code: 'garbled' as const },
    { timeS: 13, code: 'garbled' as const },
  ]
  const [run, ...others] = judgeRecording(recording(samples, rejected))
  expect(others).toEqual([])
  expect(run?.feed?.feedMmPerMin).toBeCloseTo(150, 1)
  expect(run?.clock.kind).toBe('host')
  expect(run?.samples.read).toBe(samples.timeS.length + 3)
  expect(run?.samples.used).toBe(run?.traverse.steadyIndices.length)
  expect(run?.samples.rejected).toEqual({ partial: 1, garbled: 2 })
})

test('counts of several traverses add up to the recording', () => {
  const series = joinRecordings([
    simulateTraverse(CLEAN).samples,
    simulateTraverse({ ...CLEAN, seed: 9, direction: -1, outlierShare: 0.02 }).samples,
  ])
  const runs = judgeRecording(recording(series, [{ timeS: series.timeS[500]!, code: 'garbled' }]))
  expect(runs.map((run) => run.traverse.direction)).toEqual([1, -1])
  expect(runs.reduce((sum, run) => sum + run.samples.read, 0)).toBe(series.timeS.length + 1)
  expect(runs[1]?.samples.rejected.outlier).toBeGreaterThan(0)
  expect(runs[1]?.samples.rejected.garbled).toBe(1)
})

test('a rejected traverse has no feed, a still table no run', () => {
  const stalled = simulateTraverse({ ...CLEAN, stall: { atShare: 0.5, lengthS: 1 } }).samples
  const [run] = judgeRecording(recording(stalled))
  expect(run?.traverse.rejection?.code).toBe('stopped-midway')
  expect(run?.feed).toBeNull()
  expect(judgeRecording(recording(simulateTraverse({ ...CLEAN, driveS: 0.05 }).samples))).toEqual([])
})

test('the device clock is used where its rate is known well enough, the host clock otherwise', () => {
  const late = simulateTraverse({ ...CLEAN, arrivalDelayS: 0.02 }).samples
  const exact = simulateTraverse({ ...CLEAN, arrivalDelayS: 0 }).samples
  // A resonator 0.4 % fast: one device second is shorter than one host second.
  const rate = 1 / 1.004
  const withClock = { ...late, deviceTimeS: exact.timeS.map((t) => (t + 70) / rate) }
  const host = judgeRecording(recording(withClock))[0]
  expect(host?.clock.kind).toBe('host')
  const fine = judgeRecording(recording(withClock), { deviceClock: { rate, standardUncertainty: 2e-6 } })[0]
  expect(fine?.clock.kind).toBe('device')
  expect(fine?.feed?.feedMmPerMin).toBeCloseTo(150, 2)
  expect(fine?.clock.uncertaintyMmPerMin).toBeCloseTo(150 * 2e-6, 8)
  expect(fine?.feed?.standardUncertaintyMmPerMin).toBeLessThan(host!.feed!.standardUncertaintyMmPerMin)
  expect(fine?.feed?.standardUncertaintyMmPerMin).toBeGreaterThanOrEqual(150 * 2e-6)
  const coarse = judgeRecording(recording(withClock), { deviceClock: { rate, standardUncertainty: 1e-3 } })[0]
  expect(coarse?.clock.kind).toBe('host')
})

test('what is amiss with the readout is told with every run of it', () => {
  const { samples } = simulateTraverse(CLEAN)
  const jumped = { code: 'device-clock-jumped', message: 'It jumped.' }
  const [run] = judgeRecording({ ...recording(samples), warnings: [jumped] })
  expect(run?.warnings).toContainEqual(jumped)
})

test('many outliers are told', () => {
  const { samples } = simulateTraverse({ ...CLEAN, outlierShare: 0.08, rateHz: 50 })
  const codes = judgeRecording(recording(samples)).flatMap((run) =>
    run.warnings.map((warning) => warning.code),
  )
  expect(codes).toContain('many-outliers')
})

test('a steady part of less than one and a half turns of the leadscrew is warned of, with what its ripple may do', () => {
  const { samples } = simulateTraverse({ ...CLEAN, feedMmPerMin: 8 })
  const [run] = judgeRecording(recording(samples))
  expect(run?.warnings.map((warning) => warning.code)).toContain('ripple-hidden')
  const { feedMmPerMin = 0, standardUncertaintyMmPerMin = 0 } = run?.feed ?? {}
  expect(standardUncertaintyMmPerMin / feedMmPerMin).toBeGreaterThan(0.005)
  const [fine] = judgeRecording(recording(samples), { leadscrewPitchMm: 2 })
  expect(fine?.warnings).toEqual([])
  expect(fine?.feed?.standardUncertaintyMmPerMin ?? 1).toBeLessThan(0.01)
})
