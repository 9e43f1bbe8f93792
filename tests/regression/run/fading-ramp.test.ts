import { describe, expect, it } from 'vitest'
import { steadyFeed } from '../../../src/regression/index.js'
import { fadingRamp, unsureTimeConstant } from '../../../src/regression/run/fading-ramp.js'
import { slopeFit } from '../../../src/regression/run/slope-fit.js'
import type { Track } from '../../../src/traverse/index.js'
import { seededUniform } from '../../traverse/simulated-traverse.js'

const SPAN_S = 20
const SPEED = 3

/** 20 s at 3 mm/s read twenty times a second to 5 µm, with what `adds` puts on top, mm at a share of the span. */
function track(adds: (share: number) => number, seed = 1): Track {
  const uniform = seededUniform(seed)
  const timeS = Float64Array.from({ length: 20 * SPAN_S }, (_, i) => i / 20)
  const positionMm = timeS.map((time) => SPEED * time + adds(time / SPAN_S) + 0.02 * (uniform() - 0.5))
  return { timeS, positionMm: positionMm.map((mm) => Math.round(mm / 0.005) * 0.005) }
}

describe('fadingRamp(track)', () => {
  it('finds an exponential ramp and the speed it leads to', () => {
    const ramp = fadingRamp(track((share) => 0.1 * Math.exp(-share / 0.07)))
    expect(ramp).not.toBeNull()
    const { slopeMmPerS, standardErrorMmPerS } = ramp!.fit
    expect(Math.abs(slopeMmPerS - SPEED)).toBeLessThan(3 * standardErrorMmPerS)
    expect(ramp!.addsMm[0]).toBeCloseTo(0.1, 1)
  })

  it('takes neither scatter nor a speed that drifts for a ramp', () => {
    const seeds = Array.from({ length: 40 }, (_, i) => i + 1)
    expect(seeds.filter((seed) => fadingRamp(track(() => 0, seed)) !== null)).toEqual([])
    expect(seeds.filter((seed) => fadingRamp(track((share) => 0.1 * share ** 2, seed)) !== null)).toEqual([])
  })

  it('keeps steadyFeed from taking the ramp into the feed', () => {
    const { timeS, positionMm } = track((share) => 0.1 * Math.exp(-share / 0.07))
    const { feedMmPerMin, standardUncertaintyMmPerMin } = steadyFeed(timeS, positionMm)
    const byLine = 60 * slopeFit({ timeS, positionMm }, [])!.slopeMmPerS
    expect(Math.abs(byLine / 180 - 1)).toBeGreaterThan(5e-4)
    expect(Math.abs(feedMmPerMin / 180 - 1)).toBeLessThan(2e-4)
    expect(Math.abs(feedMmPerMin - 180)).toBeLessThan(3 * standardUncertaintyMmPerMin)
  })
})

describe('unsureTimeConstant(track, ramp, lagS)', () => {
  const slow = track((share) => 0.3 * Math.exp(-share / 0.2))
  const tried = (lagS: number) => unsureTimeConstant(slow, fadingRamp(slow, 4)!, lagS)

  it('finds a slow ramp only where the start was seen to be as slow', () => {
    expect(fadingRamp(slow, 4)!.timeConstantS / SPAN_S).toBeCloseTo(0.2, 1)
    expect(fadingRamp(slow, 4)!.timeConstantS).toBeGreaterThan(SPAN_S / 8)
    const quick = fadingRamp(slow, 0.1)
    expect(quick === null || quick.timeConstantS <= SPAN_S / 8).toBe(true)
  })

  it('brings the slope to the speed it leads to, within what it says it does not know', () => {
    const ramp = fadingRamp(slow, 4)!
    const { shiftMmPerS, uncertaintyMmPerS } = tried(4)
    expect(uncertaintyMmPerS / SPEED).toBeGreaterThan(2e-5)
    expect(uncertaintyMmPerS / SPEED).toBeLessThan(1e-3)
    const off = ramp.fit.slopeMmPerS + shiftMmPerS - SPEED
    expect(Math.abs(off)).toBeLessThan(2 * Math.hypot(uncertaintyMmPerS, ramp.fit.standardErrorMmPerS))
  })

  it('leans to the lag of the start where the samples leave the time constant open', () => {
    // The longer the time constant, the faster the table will still become.
    const faint = track((share) => 0.06 * Math.exp(-share / 0.2))
    const ramp = fadingRamp(faint, 4)!
    const slopes = [1.5, 4, 10].map((lagS) => unsureTimeConstant(faint, ramp, lagS).shiftMmPerS)
    expect(slopes).toEqual([...slopes].sort((a, b) => a - b))
    expect(slopes[2]! - slopes[0]!).toBeGreaterThan(2e-5 * SPEED)
  })

  it('knows the time constant of a ramp that stands far above the scatter', () => {
    const clear = track((share) => 5 * Math.exp(-share / 0.0625))
    const { uncertaintyMmPerS } = unsureTimeConstant(clear, fadingRamp(clear)!)
    expect(uncertaintyMmPerS / SPEED).toBeLessThan(2e-5)
  })
})
