import { expect, it } from 'vitest'
import { rapidFeed } from '../../../src/jobs/index.js'
import type { Axis, Store } from '../../../src/store/index.js'
import { addAxis, JUDGEMENT, NOW, newRecording, newStore } from '../../store/store-samples.js'

function addRapid(store: Store, axis: Axis, feedMmPerMin: number, tags: Record<string, string> = {}): void {
  const { id } = store.recordings.start(newRecording(axis.id, { tags, dial: 'rapid' }))
  const feed = { ...JUDGEMENT.feed!, feedMmPerMin }
  store.runs.add(id, 'rapid', [{ ...JUDGEMENT, feed }], NOW)
}

it('the feed of the rapid traverse comes from its own runs, with their scatter', () => {
  const store = newStore()
  const axis = addAxis(store)
  expect(() => rapidFeed(store, axis, null)).toThrow(/No run of the rapid traverse counts yet\./)
  for (const feed of [2600, 2620, 2610, 2630]) addRapid(store, axis, feed)
  addRapid(store, axis, 1500, { load: 'cutting' })
  const { direction, feed } = rapidFeed(store, axis, null)
  expect(direction).toBe(1)
  expect(feed.runs).toBe(4)
  expect(feed.feedMmPerMin).toBeCloseTo(2615, 0)
  // Standard deviation 12.9 mm/min of four runs: the mean is known to some ten, the next run to some forty.
  const [low, high] = feed.interval95!
  expect(high - low).toBeGreaterThan(20)
  expect(high - low).toBeLessThan(120)
  const [nextLow, nextHigh] = feed.nextSetting95!
  expect(nextHigh - nextLow).toBeGreaterThan(1.5 * (high - low))
  expect(() => rapidFeed(store, axis, -1)).toThrow(/in direction -/)
})
