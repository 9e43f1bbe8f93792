import { describe, expect, it } from 'vitest'
import { UsageError } from '../../../src/errors/index.js'
import { suggestedTravel, wantedTravel } from '../../../src/planning/index.js'

describe('suggestedTravel(wanted)', () => {
  const axis = { travelMm: 600, minimumTimeS: 30, longestTravelShare: 0.8 }

  it('travels just long enough: distance = feed × time', () => {
    expect(suggestedTravel({ ...axis, feedMmPerMin: 180 })).toEqual({
      distanceMm: 90,
      timeS: 30,
    })
  })

  it('never takes more than its share of the travel, and says when that is too short', () => {
    expect(suggestedTravel({ ...axis, feedMmPerMin: 960 })).toEqual({
      distanceMm: 480,
      timeS: 30,
    })
    expect(suggestedTravel({ ...axis, feedMmPerMin: 1920 })).toEqual({
      distanceMm: 480,
      timeS: 15,
    })
  })

  it('goes as far as the procedure asks for, by the leadscrew of the axis', () => {
    const procedure = { minimumTravelTimeS: 7, minimumTurns: 1.5, longestTravelShare: 0.8 }
    const asked = wantedTravel(procedure, { travelMm: 600, leadscrewPitchMm: 4 })
    // One and a half turns of 4 mm: at 30 mm/min 12 s, at 60 mm/min reached within the 7 s.
    expect(suggestedTravel({ ...asked, feedMmPerMin: 30 })).toEqual({
      distanceMm: 6,
      timeS: 12,
    })
    expect(suggestedTravel({ ...asked, feedMmPerMin: 60 })).toEqual({
      distanceMm: 7,
      timeS: 7,
    })
    // No axis is longer than it is.
    const short = wantedTravel(procedure, { travelMm: 5, leadscrewPitchMm: 4 })
    expect(suggestedTravel({ ...short, feedMmPerMin: 30 })).toEqual({
      distanceMm: 4,
      timeS: 8,
    })
  })

  it('bad-feed for a feed that is no travel', () => {
    for (const feedMmPerMin of [0, -1, Number.NaN]) {
      expect(() => suggestedTravel({ ...axis, feedMmPerMin })).toThrow(UsageError)
    }
  })
})
