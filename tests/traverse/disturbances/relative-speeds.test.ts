import { describe, expect, it } from 'vitest'
import {
  dipOutward,
  isTrend,
  neverSettled,
  type RelativeSpeed,
  speedsUp,
  stillSpeedingUp,
} from '../../../src/traverse/disturbances/relative-speeds.js'

/** Windows of a second, known to 0.1 %: off by more than 12.5 % counts. */
const speeds = (...shares: number[]): RelativeSpeed[] =>
  shares.map((share, i) => ({ fromS: i, toS: i + 1, share, error: 0.001 }))

describe('isTrend(inside)', () => {
  it('tells a speed that changes all the way from one event', () => {
    expect(isTrend(speeds(0.8, 0.9, 1, 1.1, 1.2))).toBe(true)
    expect(isTrend(speeds(1, 1, 0.6, 1, 1))).toBe(false)
  })

  it('does not judge fewer than four speeds', () => {
    expect(isTrend(speeds(0.8, 1, 1.2))).toBe(false)
  })
})

describe('dipOutward(outward)', () => {
  it('names the lowest speed of a dip that rises again', () => {
    const dip = speeds(1, 0.9, 0.5, 0.95)
    expect(dipOutward(dip)).toBe(dip[2])
  })

  it('takes a coast, which only falls, and a shallow dip for none', () => {
    expect(dipOutward(speeds(1, 0.7, 0.4, 0.1))).toBeNull()
    expect(dipOutward(speeds(1, 0.9, 1))).toBeNull()
  })
})

describe('speedsUp(shares, inside)', () => {
  it('is true where the table came to its speed after what was taken for steady', () => {
    const all = speeds(0.3, 0.6, 0.8, 1, 1)
    expect(speedsUp(all, all.slice(1, 3))).toBe(true)
  })

  it('is false for a steady part, and where the table slowed down in between', () => {
    const steady = speeds(0.4, 1, 1, 1, 0.5)
    expect(speedsUp(steady, steady.slice(1, 4))).toBe(false)
    const stopped = speeds(0.8, 0.8, 0.2, 1, 1)
    expect(speedsUp(stopped, stopped.slice(0, 2))).toBe(false)
  })
})

it('stillSpeedingUp(shares, inside) says at which share of its speed the steady part seemed to begin', () => {
  const all = speeds(0.5, 0.75, 1, 1.25)
  expect(stillSpeedingUp(all, all.slice(1, 3)).message).toContain('began at 60 % of the speed it came to')
})

it('neverSettled(inside) says from which share of the mean speed to which it went', () => {
  expect(neverSettled(speeds(0.8, 1, 1.2)).message).toContain('it went from 80 % to 120 % of its mean')
})
