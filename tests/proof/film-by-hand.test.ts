import { expect, test } from 'vitest'
import { filmsByHand } from '../../scripts/proof/film-by-hand.js'
import { howMany, leastShare } from '../harness/proof-mode.js'

const FILMS = howMany(150, 3000)

// Seeds 77000000 + i and so on, of no other campaign.
test.each([
  { what: 'three readings, the changes seen', readings: 3, seesChanges: true },
  { what: 'eight readings, the changes seen', readings: 8, seesChanges: true },
  { what: 'the slowest display, its changes seen', readings: 4, seesChanges: true, refreshHz: 5 },
  { what: 'the fastest display, its changes seen', readings: 4, seesChanges: true, refreshHz: 30 },
  { what: 'the slowest display, its changes not known', readings: 5, seesChanges: false, refreshHz: 5 },
])('a film of which a person types a few readings holds the feed: $what', ({ what, ...drawn }) => {
  const { held, unsteady, slowEnd } = filmsByHand(drawn, FILMS, 77_000_000 + 10_000 * what.length)
  expect(unsteady).toBeLessThanOrEqual(0.02 * FILMS)
  expect(slowEnd).toBeLessThanOrEqual(0.06 * FILMS)
  expect(held / (FILMS - unsteady)).toBeGreaterThan(leastShare(0.95, FILMS))
})

test('a first frame from before the start is told, or the run is refused', () => {
  const early = filmsByHand({ readings: 4, seesChanges: true, firstS: -0.5 }, 50, 78_500_000)
  expect(early.slowEnd).toBeGreaterThan(0)
  expect(early.wrongInSilence).toBeLessThanOrEqual(5)
})

test('a change that is seen makes the interval about half as wide', () => {
  const of = (seesChanges: boolean) =>
    filmsByHand({ readings: 4, seesChanges, refreshHz: 10 }, 40, 78_000_000)
  expect(of(true).halfWidthPercent / of(false).halfWidthPercent).toBeLessThan(0.7)
})
