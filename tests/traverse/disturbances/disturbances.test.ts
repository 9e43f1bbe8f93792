import { describe, expect, it } from 'vitest'
import { findDisturbance } from '../../../src/traverse/disturbances/disturbances.js'
import type { PositionJump } from '../../../src/traverse/disturbances/position-jumps.js'
import { withoutGuards } from '../../../src/traverse/phases/steady-part.js'
import { findSteadyWindow } from '../../../src/traverse/phases/steady-window.js'

const STEP_MM = 0.005

/** Ten samples a second for 30 s; `speedAt` as a share of 4 mm/s is summed up and read in steps. */
function disturbance(
  speedAt: (timeS: number) => number,
  jumps: readonly PositionJump[] = [],
  stepMm = STEP_MM,
) {
  const timeS = Float64Array.from({ length: 301 }, (_, i) => i / 10)
  let wayMm = 0
  const positionMm = timeS.map((t) => {
    for (let k = 0; k < 10; k += 1) wayMm += t === 0 ? 0 : 0.04 * speedAt(t - 0.1 + (k + 0.5) / 100)
    return Math.round(wayMm / stepMm) * stepMm
  })
  const track = { timeS, positionMm }
  const motion = { direction: 1, from: 0, to: 300, restBefore: null, restAfter: null } as const
  const steady = findSteadyWindow(track, 0, 300, stepMm)!
  const core = withoutGuards(track, steady, steady.line.slope)
  return findDisturbance(track, motion, steady, core, jumps, stepMm, 0.1)
}

const within = (t: number, fromS: number, toS: number) => t >= fromS && t < toS

describe('findDisturbance(track, motion, steady, core, jumps, positionStepMm, periodS)', () => {
  it('finds none in an even travel, with ramps at its ends or without', () => {
    expect(disturbance(() => 1)).toBeNull()
    expect(disturbance((t) => Math.min(1, t / 2, (30 - t) / 2))).toBeNull()
  })

  it('tells a table that stopped from one that was held back, with place and share', () => {
    const stopped = disturbance((t) => (within(t, 14, 16) ? 0 : 1))!
    expect(stopped.code).toBe('stopped-midway')
    expect(stopped.message).toMatch(/^The table almost stopped .*\(0 % of the feed\)\.$/)
    // Nor less than nothing where it was pushed back.
    const back = disturbance((t) => (within(t, 14, 16) ? -0.05 : 1))!
    expect(back.message).toMatch(/\(0 % of the feed\)/)
    const held = disturbance((t) => (within(t, 14, 16) ? 0.7 : 1))!
    expect(held).toMatchObject({ code: 'slipped', message: expect.stringMatching(/at 7\d % of the feed/) })
  })

  it('looks over eight steps of a coarse readout: long enough to call a slow even travel sound, short enough to see a stop', () => {
    // 0.4 mm/s in steps of 0.1 mm: a window of 2 s.
    const slow = (share: number) => disturbance((t) => 0.1 * (within(t, 14, 17) ? share : 1), [], 0.1)
    expect(slow(1)).toBeNull()
    expect(slow(0.4)).toMatchObject({ code: 'stopped-midway' })
  })

  it('tells a stop that is too short for a local speed by the step that it leaves', () => {
    const short = disturbance((t) => (within(t, 14, 14.08) ? 0 : 1))!
    expect(short.code).toBe('slipped')
    expect(short.message).toMatch(/position jumped by 0\.3\d+ mm/)
  })

  it('takes a burst of late lines beyond the steady part for none, a stop there for one', () => {
    // Lines of 0.4 s show where the table was when they began to be held back; then it is where it belongs.
    const speedAt = (late: boolean) => (t: number) =>
      within(t, 27, 27.4) ? 0 : late && within(t, 27.4, 27.5) ? 5 : 1
    expect(disturbance(speedAt(false))).not.toBeNull()
    expect(disturbance(speedAt(true))).toBeNull()
  })

  it('tells a stop beyond the end of the steady part: the speed falls and rises going outward', () => {
    const beyond = disturbance((t) => (within(t, 3, 4) ? 0.2 : 1))!
    expect(['stopped-midway', 'slipped']).toContain(beyond.code)
  })

  it.each([
    [3, '3.1 s'],
    [27, '27.0 s'],
  ])(
    'tells travel that goes on aside of the steady part, before it or behind it (stop at %i s)',
    (atS, told) => {
      const stop = (lastsS: number) => disturbance((t) => (within(t, atS, atS + lastsS) ? 0 : 1))
      expect(stop(0.04)?.message).toMatch(
        new RegExp(`^At ${told} into the recording the position jumped by 0.160 mm`),
      )
      // Less than the steady part may be off itself.
      expect(stop(0.02)).toBeNull()
    },
  )

  it('tells none aside that goes on for less than a second, nor a slower travel, which may be a ramp', () => {
    expect(disturbance((t) => (within(t, 29.2, 29.24) ? 0 : 1))).toBeNull()
    expect(disturbance((t) => (within(t, 0.8, 0.84) ? 0 : 1))).toBeNull()
    expect(disturbance((t) => (within(t, 27, 27.04) ? 0 : t < 27 ? 1 : 0.97))).toBeNull()
  })

  it('says of a table that only became faster that it was still speeding up, and no slip', () => {
    const slow = disturbance((t) => 1 - Math.exp(-t / 12))!
    expect(['too-short', 'no-steady-part']).toContain(slow.code)
    const late = disturbance((t) => (t < 15 ? 0.7 : Math.min(1, 0.7 + (t - 15) / 10)))!
    expect(late.code).toBe('too-short')
    expect(late.message).toMatch(
      /still speeding up: .* began at (6\d|7\d) % of the speed it came to\. Travel further\.$/,
    )
    // Faster, but held back in between.
    expect(disturbance((t) => (within(t, 18, 20) ? 0.4 : t < 15 ? 0.7 : 1))!.code).not.toBe('too-short')
  })

  it('calls a speed that changes all the way not settled, in place of an event', () => {
    const drifting = disturbance((t) => 1.5 - t / 30)!
    expect(drifting.code).toBe('no-steady-part')
    expect(drifting.message).toMatch(
      /^The speed never settled: it went from 1\d\d % to \d\d % of its mean\.$/,
    )
  })

  it.each([
    ['zeroed', 'zeroed-midway'],
    ['unit-switched', 'unit-switched'],
    ['slipped', 'slipped'],
  ] as const)('tells a jump that was %s, within the motion alone', (kind, code) => {
    expect(disturbance(() => 1, [{ at: 150, kind, jumpMm: -3 }])).toMatchObject({ code })
    expect(disturbance(() => 1, [{ at: 0, kind, jumpMm: -3 }])).toBeNull()
  })
})
