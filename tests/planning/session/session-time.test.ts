import { describe, expect, it } from 'vitest'
import { minutesOf, type SessionPace, sessionTimeS } from '../../../src/planning/index.js'

const PACE: SessionPace = {
  source: 'readout',
  restS: 2,
  wanted: { minimumTimeS: 20, longestTravelShare: 0.8, travelMm: 250 },
  rapidFeedMmPerMin: null,
}
/** 60 mm in 20 s. */
const RUN = { direction: 1 as const, feedMmPerMin: 180 }
/** Setting and starting 20 s, run-up and coast 2 s, travel 20 s, two rests of 2 s. */
const ONE = 46

describe('sessionTimeS(runs, pace)', () => {
  it('adds up setting, travel and rests: worked by hand', () => {
    expect(sessionTimeS([], PACE)).toBe(0)
    expect(sessionTimeS([RUN], PACE)).toBe(ONE)
    // By stopwatch 10 s to get ready and to keep the time stand for the rests.
    expect(sessionTimeS([RUN], { ...PACE, source: 'stopwatch' })).toBe(52)
    // 300 mm/min would need 100 mm; 0.8 × 80 mm are gone in 12.8 s.
    expect(
      sessionTimeS([{ ...RUN, feedMmPerMin: 300 }], { ...PACE, wanted: { ...PACE.wanted, travelMm: 80 } }),
    ).toBeCloseTo(38.8, 9)
  })

  it('goes back where the travel is used up, at the feed or by the rapid traverse', () => {
    // Three runs of 60 mm fit into 200 mm; before the fourth the table goes back 180 mm in 60 s, or in 9 s.
    const four = [RUN, RUN, RUN, RUN]
    expect(sessionTimeS(four.slice(1), PACE)).toBe(3 * ONE)
    expect(sessionTimeS(four, PACE)).toBe(4 * ONE + 60)
    expect(sessionTimeS(four, { ...PACE, rapidFeedMmPerMin: 1200 })).toBeCloseTo(4 * ONE + 9, 9)
    // To and fro needs no way back.
    const toAndFro = four.map((run, k) => ({ ...run, direction: k % 2 === 0 ? (1 as const) : (-1 as const) }))
    expect(sessionTimeS(toAndFro, PACE)).toBe(4 * ONE)
  })

  it('takes the least travel time where no feed is known, and the same back', () => {
    const unknown = { direction: 1 as const, feedMmPerMin: null }
    expect(sessionTimeS([unknown, unknown], PACE)).toBe(2 * ONE + 20)
  })
})

describe('minutesOf(timeS)', () => {
  it('is whole minutes, none for nothing to do and one at least for anything', () => {
    expect([0, 5, 89, 91].map(minutesOf)).toEqual([0, 1, 1, 2])
  })
})
