import { expect, test } from 'vitest'
import { type MotionEvent, MotionWatch } from '../../../src/traverse/index.js'
import { joinRecordings, type SimulationOptions, simulateTraverse } from '../simulated-traverse.js'

function watched(options: Partial<SimulationOptions>, restS = 2): MotionEvent[] {
  const { samples } = simulateTraverse({ seed: 5, feedMmPerMin: 150, driveS: 10, restAfterS: 8, ...options })
  return events(samples.timeS, samples.positionMm, options.stepMm ?? 0.005, restS)
}

function events(
  timeS: ArrayLike<number>,
  positionMm: ArrayLike<number>,
  stepMm: number,
  restS = 2,
): MotionEvent[] {
  const watch = new MotionWatch({ positionStepMm: stepMm, restS })
  return Array.from(timeS, (t, i) => watch.add(t, positionMm[i]!)).filter((event) => event !== null)
}

function turns(seen: readonly MotionEvent[]): string[] {
  return seen
    .filter((event) => event.kind !== 'moving')
    .map((event) => (event.kind === 'started' ? `started ${event.direction}` : event.kind))
}

test('a traverse starts once, moves and stops once', () => {
  const seen = watched({ direction: -1, startMm: 100 })
  expect(turns(seen)).toEqual(['started -1', 'stopped'])
  expect(seen.some((event) => event.kind === 'moving')).toBe(true)
  const start = seen.find((event) => event.kind === 'started')
  const stop = seen.find((event) => event.kind === 'stopped')
  expect(start?.timeS).toBeLessThan(3)
  expect(stop).toMatchObject({ kind: 'stopped' })
  if (stop?.kind === 'stopped') {
    expect(stop.restSinceS).toBeLessThan(12.6)
    expect(stop.travelMm).toBeCloseTo(25, 0)
  }
})

test.each([
  ['1 mm/min on a 0.0005 in step', { feedMmPerMin: 1, driveS: 90, stepMm: 0.0127, restAfterS: 30 }],
  ['4000 mm/min read five times a second', { feedMmPerMin: 4000, driveS: 3, rateHz: 5 }],
  ['a flickering digit', { dither: true }],
  ['a hundred readings a second in batches', { rateHz: 100, batchS: 0.016 }],
  ['single bad readings', { outlierShare: 0.01 }],
])('%s: one start, one stop', (_name, options) => {
  expect(turns(watched(options))).toEqual(['started 1', 'stopped'])
})

test('a flickering digit at rest for an hour starts nothing', () => {
  const watch = new MotionWatch({ positionStepMm: 0.005, restS: 2 })
  for (let i = 0; i < 36_000; i++) expect(watch.add(0.1 * i, 0.005 * ((i * 7) % 3))).toBeNull()
  expect(watch.isMoving).toBe(false)
})

test('a readout zeroed at rest starts nothing', () => {
  const times = Array.from({ length: 100 }, (_, i) => 0.1 * i)
  expect(
    events(
      times,
      times.map((t) => (t < 5 ? 80 : 0)),
      0.005,
    ),
  ).toEqual([])
})

test('to and fro gives a start and a stop for each, a turn without rest a start alone', () => {
  const there = simulateTraverse({ seed: 1, feedMmPerMin: 150, driveS: 8 }).samples
  const back = simulateTraverse({ seed: 2, feedMmPerMin: 150, driveS: 8, direction: -1 }).samples
  const both = joinRecordings([there, back])
  expect(turns(events(both.timeS, both.positionMm, 0.005))).toEqual([
    'started 1',
    'stopped',
    'started -1',
    'stopped',
  ])
  const turned = joinRecordings([
    simulateTraverse({ seed: 1, feedMmPerMin: 150, driveS: 8, restAfterS: 0 }).samples,
    simulateTraverse({ seed: 2, feedMmPerMin: 150, driveS: 8, direction: -1, restBeforeS: 0 }).samples,
  ])
  expect(turns(events(turned.timeS, turned.positionMm, 0.005))).toEqual([
    'started 1',
    'started -1',
    'stopped',
  ])
})

test('samples that are no numbers or go back in time are passed over, bad options refused', () => {
  const watch = new MotionWatch({ positionStepMm: 0.005, restS: 2 })
  watch.add(5, 1)
  expect(watch.add(Number.NaN, 9)).toBeNull()
  expect(watch.add(6, Number.NaN)).toBeNull()
  expect(watch.add(1, 9)).toBeNull()
  expect(watch.isMoving).toBe(false)
  expect(() => new MotionWatch({ positionStepMm: 0, restS: 2 })).toThrow(/positive/)
  expect(() => new MotionWatch({ positionStepMm: 0.005, restS: 0 })).toThrow(/positive/)
})
