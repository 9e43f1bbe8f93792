import { expect, test } from 'vitest'
import { CUTS, judgedFragment, OTHER_RAMPS } from '../../scripts/proof/fragments.js'
import { howMany } from '../harness/proof-mode.js'

/** Runs of the kinds given, on ramps that the judgement was not made with. */
function campaign(cuts: readonly (typeof CUTS)[number][], seconds: readonly number[], runs: number) {
  const drawn = cuts.flatMap((cut) =>
    seconds.flatMap((seenS) =>
      Array.from({ length: runs }, (_, i) => ({ cut, seenS, rateHz: [10, 20, 40][i % 3]! })),
    ),
  )
  const judged = drawn.map((kind, i) => judgedFragment(kind, OTHER_RAMPS, 9_000_001 + 7919 * i))
  const accepted = judged.flatMap(({ run, trueFeedMmPerMin }) =>
    run?.feed == null ? [] : [{ interval: run.feed.interval95MmPerMin, trueFeedMmPerMin }],
  )
  const held = accepted.filter(
    ({ interval: [low, high], trueFeedMmPerMin }) => low <= trueFeedMmPerMin && trueFeedMmPerMin <= high,
  )
  return { judged, accepted: accepted.length, held: held.length }
}

// Seeds 9000001 + 7919·i. 93 % less two standard errors of so many runs.
const least = (accepted: number): number => 0.93 - 2 * Math.sqrt((0.93 * 0.07) / accepted)

test('travels of 1 to 3 s, whole or cut off, hold their feed as often as stated or are refused with the way out', () => {
  const runs = howMany(4, 6)
  const { judged, accepted, held } = campaign(CUTS, [1, 2, 3], runs)
  expect(accepted).toBeGreaterThan(howMany(8, 15))
  expect(held / accepted).toBeGreaterThan(least(accepted))
  const asked = judged.flatMap(
    ({ run }) => run?.traverse.rejection?.message.match(/at least \d+ s or [\d.]+ mm/) ?? [],
  )
  expect(asked.length).toBeGreaterThan(howMany(9, 13))
})

test('a whole traverse of 12 s is judged, and holds its feed as often as stated', () => {
  const runs = howMany(8, 16)
  const { accepted, held } = campaign(['whole'], [12], runs)
  expect(accepted).toBeGreaterThanOrEqual(runs - 1)
  expect(held / accepted).toBeGreaterThan(least(accepted))
})

test('a piece of less than 3 s whose start was not seen is never taken for a run', () => {
  expect(campaign(['began moving', 'both ends cut'], [0.5, 1, 2.5], 3).accepted).toBe(0)
})
