import { describe, expect, it } from 'vitest'
import {
  otherSpeedShare,
  otherSpeeds,
  otherSpeedWarnings,
  twoSpeeds,
} from '../../../src/traverse/disturbances/other-speed.js'
import { withoutGuards } from '../../../src/traverse/phases/steady-part.js'
import { findSteadyWindow } from '../../../src/traverse/phases/steady-window.js'

const STEP_MM = 0.005

/** Ten samples a second for 40 s at a share of 4 mm/s, read in steps, and the other speeds that are found. */
function found(shareAt: (timeS: number) => number, mmPerS = 4, endAt = 400) {
  let wayMm = 0
  const timeS = Float64Array.from({ length: 401 }, (_, i) => i / 10)
  const positionMm = timeS.map((t) => {
    for (let k = 0; k < 10; k += 1) wayMm += t === 0 ? 0 : (mmPerS / 100) * shareAt(t - 0.1 + (k + 0.5) / 100)
    return Math.round(wayMm / STEP_MM) * STEP_MM
  })
  const track = { timeS, positionMm }
  const steady = findSteadyWindow(track, 0, 400, STEP_MM)!
  const core = withoutGuards(track, steady, steady.line.slope)
  return { track, others: otherSpeeds(track, steady, core, 0, endAt, STEP_MM) }
}

describe('otherSpeeds(track, steady, core, start, end, positionStepMm)', () => {
  it.each([
    ['faster', 1.4],
    ['slower', 0.7],
    ['a little faster', 1.03],
  ])('finds a speed kept after the steady part that is %s', (_, share) => {
    const { others } = found((t) => (t < 30 ? 1 : share))
    expect(others).toHaveLength(1)
    expect(others[0]!.share).toBeCloseTo(share, 2)
    expect(others[0]!.lastsS).toBeGreaterThan(8)
    expect(others[0]!.atS).toBeGreaterThan(33)
  })

  it('finds one kept before', () => {
    const { others } = found((t) => (t < 8 ? 0.5 : 1))
    expect(others.map(({ share }) => share)).toEqual([expect.closeTo(0.5, 2)])
  })

  it('takes no ramp, coast or short overshoot for one', () => {
    expect(found(() => 1).others).toEqual([])
    expect(found((t) => Math.min(1, t / 3, (40 - t) / 3)).others).toEqual([])
    expect(found((t) => 1 - 0.4 * Math.exp(-t)).others).toEqual([])
    expect(found((t) => (t < 1 ? 1.3 : 1)).others).toEqual([])
    for (const lagS of [0.45, 0.5, 0.55, 0.6]) {
      const coast = found((t) => (t < 30 ? 1 : Math.exp((30 - t) / lagS)), 4, 330)
      expect(coast.others, `a coast with a time constant of ${lagS} s`).toEqual([])
    }
  })

  it('leaves alone what the ripple of a leadscrew may be where the travel is too short to show it', () => {
    const slow = (share: number) => found((t) => (t < 30 ? 1 : share), 0.2).others
    expect(slow(1.08)).toEqual([])
    expect(slow(1.3)).toHaveLength(1)
  })
})

describe('what other speeds do to a run', () => {
  it('more than 8 % refuses it, with place and share', () => {
    const { track, others } = found((t) => (t < 30 ? 1 : 0.7))
    expect(twoSpeeds(track, others)).toMatchObject({
      code: 'no-steady-part',
      message: expect.stringMatching(
        /^For \d+\.\d s around 3\d\.\d s into the recording the table kept 70 % of the feed: /,
      ),
    })
  })

  it('less is told, and widens the interval by what it may shift the mean', () => {
    const { track, others } = found((t) => (t < 30 ? 1 : 1.03))
    expect(twoSpeeds(track, others)).toBeNull()
    expect(otherSpeedWarnings(track, others)).toEqual([
      {
        code: 'speed-varies',
        message: expect.stringMatching(/the table was 3\.\d % faster than in its steady part/),
      },
    ])
    // 10 s of 40 s, 3 % faster: the mean is 0.75 % higher (rectangular).
    expect(otherSpeedShare([{ share: 1.03, lastsS: 10, atS: 35 }], 30)).toBeCloseTo(0.0075 / Math.sqrt(3), 6)
    expect(otherSpeedShare([], 30)).toBe(0)
  })
})
