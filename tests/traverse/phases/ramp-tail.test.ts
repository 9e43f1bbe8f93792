import { describe, expect, it } from 'vitest'
import { straightLine } from '../../../src/numbers/index.js'
import { withoutRampTail } from '../../../src/traverse/phases/ramp-tail.js'
import { seededUniform } from '../simulated-traverse.js'

/** Twenty samples a second for 20 s at 2 mm/s with some scatter, `behindMm` behind the line. */
function window(behindMm: (timeS: number) => number, rippleTurns: number | null = null, sign = 1) {
  const uniform = seededUniform(5)
  const timeS = Float64Array.from({ length: 401 }, (_, i) => i / 20)
  const track = {
    timeS,
    positionMm: timeS.map((t) => sign * (2 * t - behindMm(t)) + 0.004 * (uniform() - 0.5)),
  }
  const line = straightLine(timeS, track.positionMm, 100, 300)
  const steady = {
    from: 0,
    to: 401,
    line,
    toleranceMm: 0.02,
    scatterMm: 0.002,
    rippleMm: () => 0,
    rippleTurns,
  }
  const { from, to } = withoutRampTail(track, steady)
  return { from, to }
}

/** What is left of a ramp lies ahead of the line at the start: the table was slower than the line says. */
const slowStart = (t: number) => -0.02 * Math.exp(-t / 0.7)
const slowEnd = (t: number) => 0.02 * Math.exp(-(20 - t) / 0.7)

describe('withoutRampTail(track, steady)', () => {
  it('keeps a sound steady part but for a block in forty by chance', () => {
    const { from, to } = window(() => 0)
    expect(from).toBeLessThanOrEqual(20)
    expect(to).toBeGreaterThanOrEqual(381)
  })

  it.each([1, -1])('cuts a fading ramp off where it shows and as much again, in direction %i', (sign) => {
    const start = window(slowStart, null, sign)
    // 0.02 mm fade into the error of a block's mean, some 0.7 µm, in 2.3 s; twice that is 4.6 s.
    expect(start.from).toBeGreaterThanOrEqual(40)
    expect(start.from).toBeLessThanOrEqual(100)
    expect(start.to).toBeGreaterThanOrEqual(381)
    const end = window(slowEnd, null, sign)
    expect(end.from).toBeLessThanOrEqual(20)
    expect(end.to).toBeLessThanOrEqual(361)
    expect(end.to).toBeGreaterThanOrEqual(301)
  })

  it('takes the side of a faster table for no ramp', () => {
    expect(window((t) => -slowStart(t)).from).toBeLessThanOrEqual(20)
    expect(window((t) => -slowEnd(t)).to).toBeGreaterThanOrEqual(381)
  })

  it('asks for more where ripple of less than three turns tells the middle badly', () => {
    const faint = (t: number) => -0.004 * Math.exp(-t / 2)
    expect(window(faint, 2).from).toBeLessThan(window(faint, 3).from)
  })

  it('leaves a drift over the whole part to be told', () => {
    expect(window((t) => -0.0005 * (t - 10) ** 2)).toEqual({ from: 0, to: 401 })
  })

  it.each([1, -1])(
    'keeps a slow drift whole that shows in the outermost blocks alone, in direction %i',
    (sign) => {
      const slow = window((t) => -0.00003 * (t - 10) ** 2, null, sign)
      expect(slow.from).toBeLessThanOrEqual(10)
      expect(slow.to).toBe(401)
      // Though a fading ramp is none.
      expect(window(slowStart, null, sign).from).toBeGreaterThanOrEqual(40)
    },
  )
})
