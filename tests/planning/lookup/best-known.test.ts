import { expect, it } from 'vitest'
import { bestKnownFirst } from '../../../src/planning/lookup/best-known.js'

const feed = (feedMmPerMin: number, half: number | null) => ({
  feedMmPerMin,
  interval95: half === null ? null : ([feedMmPerMin - half, feedMmPerMin + half] as const),
})

it('puts the feed first that is known best for its size, and last what nobody knows how well', () => {
  // 10 % of 50, not known, 2 % of 300: the widest in mm/min is the best known.
  const answers = [feed(50, 5), feed(100, null), feed(300, 6)]
  expect(bestKnownFirst(answers, (one) => one).map((one) => one.feedMmPerMin)).toEqual([300, 50, 100])
})
