import { describe, expect, it } from 'vitest'
import { motionLimits } from '../../../src/traverse/phases/motion-limits.js'

// From memory: the limits are chosen by judgement; what is checked is that each of their three grounds can decide.
describe('motion limits', () => {
  it('follow the step of a coarse readout', () => {
    const limits = motionLimits(0.1, 0)
    expect(limits.turnMm).toBeCloseTo(0.6, 12)
    expect(limits.restBandMm).toBeCloseTo(0.25, 12)
    expect(limits.minTravelMm).toBeCloseTo(1, 12)
  })

  it('follow the noise of a fine one', () => {
    expect(motionLimits(0.001, 0.05)).toMatchObject({ turnMm: 0.4, minTravelMm: 0.25 })
    expect(motionLimits(0.001, 0.05).restBandMm).toBeCloseTo(0.3, 12)
  })

  it('never fall below what a machine gives when it is leant on', () => {
    expect(motionLimits(0.001, 0)).toMatchObject({ turnMm: 0.1, restBandMm: 0.0025, minTravelMm: 0.25 })
  })
})
