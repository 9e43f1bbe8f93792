import { expect, test } from 'vitest'
import type { SampleSeries } from '../../../src/ingest/index.js'
import { cutOffToldBy, findTraverses, type Traverse } from '../../../src/traverse/index.js'
import { joinRecordings, simulateTraverse } from '../simulated-traverse.js'

/** At rest until 2 s, driven until 22 s, at rest again from 22.3 s. */
const WHOLE = simulateTraverse({ seed: 4, feedMmPerMin: 150, driveS: 20, arrivalDelayS: 0.002 }).samples

function seen(samples: SampleSeries, isSeen: (timeS: number) => boolean): SampleSeries {
  const kept = [...samples.timeS.keys()].filter((i) => isSeen(samples.timeS[i]!))
  return {
    timeS: Float64Array.from(kept, (i) => samples.timeS[i]!),
    positionMm: Float64Array.from(kept, (i) => samples.positionMm[i]!),
    deviceTimeS: null,
  }
}

function judged(samples: SampleSeries): Traverse[] {
  return findTraverses(samples, { positionStepMm: 0.005 })
}

test.each<[string, (timeS: number) => boolean, readonly string[]]>([
  ['seen whole', () => true, []],
  ['begun while moving', (t) => t > 5, ['began-moving']],
  ['ended while moving', (t) => t < 18, ['ended-moving']],
  ['cut at both ends', (t) => t > 5 && t < 18, ['began-moving', 'ended-moving']],
  ['with lines lost on the way', (t) => t < 10 || t > 11, ['lines-lost']],
  ['with lines lost at the start', (t) => t < 1.5 || t > 3, ['lines-lost']],
  ['with lines lost at the end', (t) => t < 21 || t > 23, ['lines-lost']],
  ['with lines lost long before the start', (t) => t < 0.3 || t > 1.2, []],
])('a traverse %s says so, and its warnings say the same', (_, isSeen, cutOff) => {
  const [traverse, ...others] = judged(seen(WHOLE, isSeen))
  expect(others).toEqual([])
  expect(traverse?.rejection).toBeNull()
  expect(traverse?.cutOff).toEqual(cutOff)
  expect(cutOffToldBy(traverse?.warnings ?? [])).toEqual(cutOff)
})

test('a traverse refused for being cut short says how it was cut as well', () => {
  const [traverse] = judged(seen(WHOLE, (t) => t < 2.6))
  expect(traverse?.rejection?.code).toBe('recording-cut')
  expect(traverse?.cutOff).toEqual(['ended-moving'])
})

test('a table that turns round without a rest was seen whole both ways', () => {
  const there = simulateTraverse({ seed: 5, feedMmPerMin: 150, driveS: 20, restAfterS: 0 }).samples
  const back = simulateTraverse({ seed: 6, feedMmPerMin: 150, driveS: 20, restBeforeS: 0, direction: -1 })
  expect(judged(joinRecordings([there, back.samples])).map(({ cutOff }) => cutOff)).toEqual([[], []])
})
