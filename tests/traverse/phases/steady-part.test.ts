import { describe, expect, it } from 'vitest'
import { straightLine } from '../../../src/numbers/index.js'
import { goodReadings, judgeDrift, withoutGuards } from '../../../src/traverse/phases/steady-part.js'

/** Ten samples a second at 2 mm/s on average, `offMm` off the line; the steady window is all of them. */
function steadyTrack(samples: number, offMm: (timeS: number) => number = () => 0, toleranceMm = 0.02) {
  const timeS = Float64Array.from({ length: samples }, (_, i) => i / 10)
  const track = { timeS, positionMm: timeS.map((t) => 2 * t + offMm(t)) }
  const line = straightLine(timeS, track.positionMm)
  return {
    track,
    steady: {
      from: 0,
      to: samples,
      line,
      toleranceMm,
      scatterMm: 0.005,
      rippleMm: () => 0,
      rippleTurns: null,
    },
  }
}

describe('withoutGuards(track, steady, speed)', () => {
  it('cuts 0.3 s off either end, and the time that the speed takes through the tolerance', () => {
    const { track, steady } = steadyTrack(101)
    expect(withoutGuards(track, { ...steady, toleranceMm: 0 }, 2)).toEqual({ from: 3, to: 98 })
    // 0.5 mm at 2 mm/s: a quarter of a second more.
    expect(withoutGuards(track, { ...steady, toleranceMm: 0.5 }, 2)).toEqual({ from: 6, to: 95 })
  })

  it('cuts a fifth off either end at most', () => {
    const { track, steady } = steadyTrack(11)
    expect(withoutGuards(track, { ...steady, toleranceMm: 5 }, 2)).toEqual({ from: 2, to: 9 })
  })
})

describe('goodReadings(track, steady, from, to)', () => {
  it('leaves out what lies more than two tolerances from line and ripple', () => {
    const { track, steady } = steadyTrack(101)
    track.positionMm[20]! += 0.039
    track.positionMm[30]! += 0.041
    track.positionMm[40]! -= 0.041
    const kept = goodReadings(track, steady, 10, 60)
    expect([kept[0], kept.at(-1), kept.length]).toEqual([10, 59, 48])
    expect([20, 30, 40].map((i) => kept.includes(i))).toEqual([true, false, false])
    const rippling = { ...steady, rippleMm: () => 0.045 }
    expect(goodReadings(track, rippling, 10, 60)).toEqual([20, 30])
  })
})

describe('judgeDrift(track, from, to, steady)', () => {
  /** The speed grows evenly by this share from the middle of the first third to that of the last: x = v·(t + c·t²/2). */
  const drifting = (share: number) => {
    const perS = share / (2 * (10 / 3))
    return steadyTrack(101, (t) => (2 * perS * (t - 5) ** 2) / 2)
  }
  const judged = ({ track, steady }: ReturnType<typeof steadyTrack>) =>
    judgeDrift(track, 0, 101, { ...steady, scatterMm: 1e-6 })

  it('is silent below 1 %, tells 2 %, and refuses 10 %', () => {
    expect(judged(drifting(0.009))).toEqual({ rejection: null, warnings: [] })
    expect(judged(drifting(0.02)).warnings).toMatchObject([
      { code: 'speed-drifts', message: expect.stringMatching(/99\.0 %, 100\.0 %, 101\.0 % of its mean\.$/) },
    ])
    expect(judged(drifting(-0.07))).toMatchObject({ rejection: null, warnings: [{ code: 'speed-drifts' }] })
    expect(judged(drifting(0.1))).toMatchObject({ rejection: { code: 'no-steady-part' }, warnings: [] })
  })

  it('needs five standard errors as well, and four samples a third', () => {
    // Σ(t − t̄)² of a third is 0.01 × 33 × (33² − 1)/12 s²: 0.01 mm of scatter is 0.10 % of the speed, five are 0.5 %.
    const little = drifting(0.013)
    const scattered = { ...little.steady, scatterMm: 0.011 }
    expect(judgeDrift(little.track, 0, 101, scattered).warnings).toEqual([])
    expect(judgeDrift(little.track, 0, 101, { ...scattered, scatterMm: 0.001 }).warnings).toHaveLength(1)
    const few = drifting(0.5)
    expect(judgeDrift(few.track, 0, 11, few.steady)).toEqual({ rejection: null, warnings: [] })
  })
})
