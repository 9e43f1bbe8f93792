import { readFileSync } from 'node:fs'
import { expect, test } from 'vitest'
import type { SampleSeries } from '../../../src/ingest/index.js'
import { findTraverses, type Traverse } from '../../../src/traverse/index.js'
import { joinRecordings, type SimulationOptions, simulateTraverse } from '../simulated-traverse.js'

const STEP = { positionStepMm: 0.005 }
const CLEAN = { feedMmPerMin: 150, driveS: 20, arrivalDelayS: 0.002 }

function one(options: Partial<SimulationOptions> = {}): SampleSeries {
  return simulateTraverse({ seed: 3, ...CLEAN, ...options }).samples
}

function cut(samples: SampleSeries, fromS: number, toS: number): SampleSeries {
  const kept = [...samples.timeS.keys()].filter((i) => samples.timeS[i]! >= fromS && samples.timeS[i]! < toS)
  return {
    timeS: Float64Array.from(kept, (i) => samples.timeS[i]!),
    positionMm: Float64Array.from(kept, (i) => samples.positionMm[i]!),
    deviceTimeS: null,
  }
}

function withPositions(
  samples: SampleSeries,
  change: (positionMm: number, i: number) => number,
): SampleSeries {
  return { ...samples, positionMm: samples.positionMm.map(change) }
}

function verdicts(traverses: readonly Traverse[]): string[] {
  return traverses.map((traverse) => traverse.rejection?.code ?? 'accepted')
}

test('a clean traverse has its phases, direction, travel and coast', () => {
  const simulated = simulateTraverse({ seed: 1, ...CLEAN, coastS: 0.5, direction: -1, startMm: 100 })
  const [traverse, ...others] = findTraverses(simulated.samples, STEP)
  expect(others).toEqual([])
  expect(traverse).toMatchObject({ direction: -1, rejection: null, warnings: [], outliers: 0 })
  expect(traverse?.phases?.startS).toBeCloseTo(2, 0)
  expect(traverse?.phases?.steadyFromS).toBeGreaterThan(2.3)
  expect(traverse?.phases?.steadyToS).toBeLessThan(simulated.releaseS)
  expect(traverse?.phases?.endS).toBeGreaterThan(simulated.releaseS)
  expect(traverse?.distanceMm).toBeCloseTo(2.5 * (20 - 0.15) + simulated.coastMm, 1)
  const { distanceMm = 0, standardUncertaintyMm = 0 } = traverse?.coast ?? {}
  expect(Math.abs(distanceMm - simulated.coastMm)).toBeLessThan(2 * standardUncertaintyMm)
  expect(standardUncertaintyMm).toBeLessThan(0.3 * simulated.coastMm)
})

test('a series that never moves, is empty or has one sample holds no traverse', () => {
  expect(findTraverses(cut(one({ dither: true }), 0, 1.9), STEP)).toEqual([])
  expect(findTraverses(cut(one(), 0, 0), STEP)).toEqual([])
  expect(findTraverses(cut(one(), 0, 0.15), STEP)).toEqual([])
  expect(findTraverses(one({ driveS: 0.1 }), STEP)).toEqual([])
})

test('findTraverses refuses a position step that is not positive', () => {
  expect(() => findTraverses(one(), { positionStepMm: 0 })).toThrow(/positive, not 0 mm/)
})

test('traverses to and fro are told apart, and their windows cover every sample once', () => {
  const series = joinRecordings([one(), one({ direction: -1 }), one(), one({ direction: -1 })])
  const traverses = findTraverses(series, STEP)
  expect(traverses.map((traverse) => traverse.direction)).toEqual([1, -1, 1, -1])
  expect(verdicts(traverses)).toEqual(Array(4).fill('accepted'))
  expect(traverses[0]?.window.from).toBe(0)
  expect(traverses.at(-1)?.window.to).toBe(series.timeS.length)
  for (let i = 1; i < 4; i++) expect(traverses[i]?.window.from).toBe(traverses[i - 1]?.window.to)
})

test('a turn without any rest still makes two traverses; the first then shows no coast', () => {
  const series = joinRecordings([one({ restAfterS: 0 }), one({ direction: -1, restBeforeS: 0 })])
  const traverses = findTraverses(series, STEP)
  expect(verdicts(traverses)).toEqual(['accepted', 'accepted'])
  expect(traverses[0]?.coast).toBeNull()
})

test('two traverses the same way, twenty times apart in feed, are parted by their rest', () => {
  const series = joinRecordings([one({ feedMmPerMin: 300 }), one({ feedMmPerMin: 15 })])
  const traverses = findTraverses(series, STEP)
  expect(verdicts(traverses)).toEqual(['accepted', 'accepted'])
  expect(traverses[1]?.distanceMm).toBeCloseTo(0.25 * 20, 0)
})

test('a recording that begins or ends while moving is used, with a warning and without a coast it did not see', () => {
  const began = findTraverses(cut(one(), 10, 99), STEP)[0]
  expect(began?.rejection).toBeNull()
  expect(began?.warnings.map((warning) => warning.code)).toEqual(['began-moving'])
  expect(began?.coast).not.toBeNull()
  const ended = findTraverses(cut(one(), 0, 15), STEP)[0]
  expect(ended?.rejection).toBeNull()
  expect(ended?.warnings.map((warning) => warning.code)).toEqual(['ended-moving'])
  expect(ended?.coast).toBeNull()
})

test('a recording cut just after the start is rejected as cut, a nudge as too short', () => {
  expect(verdicts(findTraverses(cut(one(), 0, 2.6), STEP))).toEqual(['recording-cut'])
  expect(verdicts(findTraverses(one({ driveS: 0.5 }), STEP))).toEqual(['too-short'])
})

test('an hour of rest with a flickering digit before the motion changes nothing', () => {
  const [traverse] = findTraverses(one({ restBeforeS: 3600, dither: true }), STEP)
  expect(traverse?.rejection).toBeNull()
  expect(traverse?.phases?.startS).toBeCloseTo(3600, 0)
})

test('a value frozen for three seconds on the way rejects the traverse', () => {
  const series = one()
  const frozen = withPositions(series, (value, i) => (i >= 100 && i < 130 ? series.positionMm[99]! : value))
  expect(findTraverses(frozen, STEP)[0]?.rejection).not.toBeNull()
})

test('a speed that rises all the way has no steady part', () => {
  const series = withPositions(one(), () => 0)
  const rising = {
    ...series,
    positionMm: series.timeS.map((t) => 0.2 * Math.max(0, Math.min(t - 2, 20)) ** 2),
  }
  expect(verdicts(findTraverses(rising, STEP))).toEqual(['no-steady-part'])
})

test('samples that are no numbers or go back in time are passed over', () => {
  const series = one()
  const broken = {
    ...withPositions(series, (value, i) => (i === 50 ? Number.NaN : value)),
    timeS: series.timeS.slice(),
  }
  broken.timeS[60] = broken.timeS[10]!
  const [traverse] = findTraverses(broken, STEP)
  expect(traverse?.rejection).toBeNull()
  expect(traverse?.steadyIndices.includes(50)).toBe(false)
  expect(traverse?.steadyIndices.includes(60)).toBe(false)
})

test('a readout zeroed at rest between two traverses harms neither', () => {
  const series = joinRecordings([one(), one({ direction: -1 })])
  const zeroed = withPositions(series, (value, i) => (i < 245 ? value : value - series.positionMm[245]!))
  expect(verdicts(findTraverses(zeroed, STEP))).toEqual(['accepted', 'accepted'])
})

test('a unit switched at rest rejects what follows', () => {
  const series = joinRecordings([one(), one({ direction: -1 })])
  const switched = withPositions(series, (value, i) => (i < 245 ? value : value / 25.4))
  expect(verdicts(findTraverses(switched, STEP))).toEqual(['accepted', 'unit-switched'])
})

test('a short silence is told, a long one rejects', () => {
  const told = findTraverses(one({ silence: { fromShare: 0.4, toShare: 0.5 } }), STEP)[0]
  expect(told?.rejection).toBeNull()
  expect(told?.warnings.map((warning) => warning.code)).toEqual(['gap'])
  expect(verdicts(findTraverses(one({ silence: { fromShare: 0.3, toShare: 0.7 } }), STEP))).toEqual([
    'lines-lost',
  ])
})

test('lines that could not be read are told above a tenth and reject above a half', () => {
  const series = one()
  const unreadable = (every: number) =>
    [...series.timeS]
      .filter((_, i) => i % every === 0)
      .flatMap((timeS) => Array(every === 1 ? 2 : 1).fill({ timeS, code: 'garbled' as const }))
  const told = findTraverses(series, { ...STEP, rejectedLines: unreadable(4) })[0]
  expect(told?.warnings.map((warning) => warning.code)).toEqual(['unreadable-lines'])
  expect(verdicts(findTraverses(series, { ...STEP, rejectedLines: unreadable(1) }))).toEqual(['lines-lost'])
})

test('three hundred thousand samples, more than a call takes arguments, are judged, most of them at rest or in a very slow feed', () => {
  const series = one({ feedMmPerMin: 1.2, driveS: 9000, rateHz: 30, restBeforeS: 600, restAfterS: 400 })
  expect(series.timeS.length).toBeGreaterThan(299_000)
  expect(verdicts(findTraverses(series, STEP))).toEqual(['accepted'])
})

// Real DC gear motors measured by their own encoders (open data, see fixtures/recordings/README.md), one count
// taken as 1 mm. By eye on the plot the speed is level from 9.40 s to 10.00 s and from 25.50 s to 26.17 s.
test.each([
  ['encoder-move-1.csv', -1986, 9.4, 10.0],
  ['encoder-move-2.csv', -2249, 25.5, 26.17],
])('the steady part of the real move %s lies where an engineer sees it', (name, travelMm, fromS, toS) => {
  const rows = readFileSync(new URL(`../../../fixtures/recordings/${name}`, import.meta.url), 'utf8')
    .trim()
    .split('\n')
    .slice(1)
    .map((row) => row.split(',').map(Number))
  const series = {
    timeS: Float64Array.from(rows, (row) => row[0]!),
    positionMm: Float64Array.from(rows, (row) => row[1]!),
    deviceTimeS: null,
  }
  const [traverse, ...others] = findTraverses(series, { positionStepMm: 1 })
  expect(others).toEqual([])
  expect(traverse?.rejection).toBeNull()
  expect(traverse?.direction).toBe(-1)
  expect(traverse?.distanceMm).toBeCloseTo(-travelMm, 0)
  expect(traverse?.phases?.steadyFromS).toBeGreaterThanOrEqual(fromS)
  expect(traverse?.phases?.steadyToS).toBeLessThanOrEqual(toS)
  const steadyS = (traverse?.phases?.steadyToS ?? 0) - (traverse?.phases?.steadyFromS ?? 0)
  expect(steadyS).toBeGreaterThan(0.5 * (toS - fromS))
})

test('a readout zeroed or a table shifted while at rest before a traverse does not reject it', () => {
  // 40 lines a second for 2 s of rest: samples 0 to 79 lie before the start.
  for (const direction of [1, -1] as const) {
    const series = one({ rateHz: 40, direction, driveS: 5, feedMmPerMin: 400 })
    for (const at of [12, 30, 55, 70]) {
      for (const byMm of [-513.4, -20, 3.2, 513.4]) {
        const shifted = withPositions(series, (value, i) => (i < at ? value : value + byMm))
        expect([direction, at, byMm, ...verdicts(findTraverses(shifted, STEP))]).toEqual([
          direction,
          at,
          byMm,
          'accepted',
        ])
      }
    }
  }
})

test('a disturbance is placed in time from the start of the recording, whatever the clock', () => {
  const [traverse] = findTraverses(one({ originS: 1.7e9, zeroedAtShare: 0.5 }), STEP)
  expect(traverse?.rejection?.message).toMatch(/\b1[0-9]\.\d s into the recording/)
})
