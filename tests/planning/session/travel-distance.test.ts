import { describe, expect, it } from 'vitest'
import { UsageError } from '../../../src/errors/index.js'
import { suggestedTravel } from '../../../src/planning/index.js'

describe('suggestedTravel(wanted)', () => {
  const axis = { travelMm: 600, minimumTimeS: 30, longestTravelShare: 0.8 }

  it('travels just long enough: distance = feed × time', () => {
    expect(suggestedTravel({ ...axis, feedMmPerMin: 180 })).toEqual({
      distanceMm: 90,
      timeS: 30,
      longEnough: true,
    })
  })

  it('never takes more than its share of the travel, and says when that is too short', () => {
    expect(suggestedTravel({ ...axis, feedMmPerMin: 960 })).toEqual({
      distanceMm: 480,
      timeS: 30,
      longEnough: true,
    })
    expect(suggestedTravel({ ...axis, feedMmPerMin: 1920 })).toEqual({
      distanceMm: 480,
      timeS: 15,
      longEnough: false,
    })
  })

  it('bad-feed for a feed that is no travel', () => {
    for (const feedMmPerMin of [0, -1, Number.NaN]) {
      expect(() => suggestedTravel({ ...axis, feedMmPerMin })).toThrow(UsageError)
    }
  })
})
