import { describe, expect, it } from 'vitest'
import { stoppedDead } from '../../../src/traverse/coast/coast.js'
import { findTraverses, type Traverse } from '../../../src/traverse/index.js'
import { findSteadyWindow } from '../../../src/traverse/phases/steady-window.js'
import { howMany } from '../../harness/proof-mode.js'
import { seededUniform } from '../simulated-traverse.js'

/** Deceleration over the feed, 1/s, at a share of the feed and a time since the drive let go, s. */
type Deceleration = (speedShare: number, sinceS: number) => number

interface Stop {
  readonly deceleration: Deceleration
  readonly feedMmPerMin: number
  readonly rateHz: number
  readonly stepMm?: number
}

const REST_S = 2
const STEADY_S = 8
const STEP_S = 0.001

/** A traverse that ramps up, travels 8 s and slows down by `deceleration`, stepped through time, lines 2 ms late on average. */
function stopped(stop: Stop, seed: number): { traverse: Traverse | undefined; coastMm: number } {
  const uniform = seededUniform(seed)
  const feed = stop.feedMmPerMin / 60
  const stepMm = stop.stepMm ?? 0.005
  const releaseS = REST_S + STEADY_S * (0.9 + 0.2 * uniform())
  const travel: number[] = [0]
  let share = 0
  let releasedMm = 0
  for (let i = 0; i * STEP_S < releaseS + 6; i++) {
    const time = i * STEP_S
    if (time < releaseS) {
      share = Math.min(1, Math.max(0, (time - REST_S) / 0.2))
      releasedMm = travel[i]!
    } else share = Math.max(0, share - STEP_S * stop.deceleration(share, time - releaseS))
    travel.push(travel[i]! + feed * share * STEP_S)
  }
  const times: number[] = []
  const positions: number[] = []
  const first = uniform() / stop.rateHz
  for (let k = 0; first + k / stop.rateHz < releaseS + 6; k++) {
    const time = first + k / stop.rateHz
    times.push(time - 0.002 * Math.log(1 - uniform()))
    positions.push(Math.round((50 + travel[Math.floor(time / STEP_S)]!) / stepMm) * stepMm)
  }
  times.sort((a, b) => a - b)
  const samples = {
    timeS: Float64Array.from(times),
    positionMm: Float64Array.from(positions),
    deviceTimeS: null,
  }
  const [traverse] = findTraverses(samples, { positionStepMm: stepMm })
  return { traverse, coastMm: travel.at(-1)! - releasedMm }
}

const WAYS: readonly (readonly [string, Deceleration])[] = [
  ['friction alone', () => 1 / 0.35],
  ['drag, then a little friction', (share) => share / 0.12 + 0.2],
  ['a brake that ends while the table still moves', (_, since) => (since < 0.12 ? 4 : 1.6)],
  ['a deceleration that builds up', (_, since) => Math.min(1, since / 0.15) / 0.3],
  ['friction that grabs at the end', (share) => 1.5 + 3 * Math.exp(-share / 0.2)],
]
const FEEDS = [60, 400, 1500]
const RATES = [5, 20, 50]
const SEEDS = howMany(2, 3)

describe('fitCoast: seeded stops of each kind, at three feeds and three rates', () => {
  for (const [name, deceleration] of WAYS) {
    it(`${name}: within twice its standard uncertainty, and below its upper bound, in all but a few`, () => {
      let [count, within, below] = [0, 0, 0]
      for (const feedMmPerMin of FEEDS) {
        for (const rateHz of RATES) {
          for (let seed = 1; seed <= SEEDS; seed++) {
            const { traverse, coastMm } = stopped({ deceleration, feedMmPerMin, rateHz }, seed)
            const coast = traverse?.coast ?? null
            if (coast === null) continue
            count++
            within += Number(Math.abs(coast.distanceMm - coastMm) <= 2 * coast.standardUncertaintyMm)
            below += Number(coastMm <= coast.distanceMm + 1.645 * coast.standardUncertaintyMm)
          }
        }
      }
      expect(count).toBe(FEEDS.length * RATES.length * SEEDS)
      expect(within / count).toBeGreaterThan(0.85)
      expect(below / count).toBeGreaterThan(0.85)
    })
  }

  it('says more where more lines show it: 50 a second have a smaller uncertainty than 5', () => {
    const uncertainty = (rateHz: number): number =>
      stopped({ deceleration: () => 1 / 0.35, feedMmPerMin: 600, rateHz }, 3).traverse!.coast!
        .standardUncertaintyMm
    expect(uncertainty(50)).toBeLessThan(0.9 * uncertainty(5))
  })
})

describe('stoppedDead(track, steady, rest, positionStepMm)', () => {
  const step = 0.005
  /** A travel at a feed, read so often, whose reading stands from `stopS` on at where it was then, s and mm. */
  function stands(mmPerS: number, rateHz: number, stopS: number, lastsS = 2, coastS = 0) {
    const timeS = Float64Array.from({ length: Math.round(rateHz * (stopS + lastsS)) }, (_, i) => i / rateHz)
    const wayS = (at: number) => {
      const since = Math.min(Math.max(0, at - stopS), coastS)
      return Math.min(at, stopS) + (coastS === 0 ? 0 : since - since ** 2 / (2 * coastS))
    }
    const track = { timeS, positionMm: timeS.map((at) => Math.round((mmPerS * wayS(at)) / step) * step) }
    const standsFrom = timeS.findIndex((at) => at >= stopS + coastS)
    const steady = findSteadyWindow(track, 0, standsFrom, step)!
    const rest = { from: standsFrom, to: timeS.length, levelMm: track.positionMm.at(-1)! }
    return stoppedDead(track, steady, rest, step)
  }

  it('sees a reading that stays at the number of a line on the way', () => {
    expect(stands(20, 10, 5)).toBe(true)
  })

  it('sees one that stands between two lines where they leave no time to brake, and only there', () => {
    // 20 mm/s by friction and drag: 40 ms to brake.
    expect(stands(20, 100, 5.005)).toBe(true)
    expect(stands(20, 10, 5.05)).toBe(false)
  })

  it('sees none in a table that coasts, one too slow to show its coast, or one whose recording ends on the way', () => {
    expect(stands(20, 100, 5, 2, 0.2)).toBe(false)
    expect(stands(1, 10, 5)).toBe(false)
    expect(stands(20, 10, 5, 0.1)).toBe(false)
  })
})
