import { afterEach, beforeEach, describe, expect, it, vi } from 'vitest'
import { hostClock } from '../../../src/ingest/index.js'
import { StallWatch } from '../../../src/ingest/port/stall-watch.js'

let nowS = 0
let wallS = 0
const stalls: number[] = []
let watch: StallWatch

/** Lets time pass on both clocks while the timers run, or on one alone while everything stands still. */
function pass(seconds: number, clocks: 'both' | 'wall' = 'both'): void {
  if (clocks === 'both') nowS += seconds
  wallS += seconds
}

beforeEach(() => {
  vi.useFakeTimers()
  nowS = 50
  wallS = 1_000_000
  stalls.length = 0
  const clock = { ...hostClock(), nowS: () => nowS, wallS: () => wallS }
  watch = new StallWatch(clock, (stoodS) => stalls.push(stoodS))
})
afterEach(() => {
  watch.stop()
  vi.useRealTimers()
})

describe('StallWatch', () => {
  it('says nothing while its timer runs in time', () => {
    for (let i = 0; i < 100; i += 1) {
      pass(0.1)
      vi.advanceTimersByTime(100)
    }
    expect(stalls).toEqual([])
  })

  it('tells once that the process stood still, and for how long', () => {
    pass(2)
    vi.advanceTimersByTime(100)
    vi.advanceTimersByTime(300)
    expect(stalls).toEqual([2])
  })

  it('tells that the computer slept, though its monotonic clock slept too', () => {
    pass(30, 'wall')
    watch.look()
    expect(stalls).toEqual([30])
  })

  it('does not mind a clock set back', () => {
    wallS -= 3600
    watch.look()
    expect(stalls).toEqual([])
  })

  it('sees it before its timer does when asked to look', () => {
    pass(1.5)
    watch.look()
    watch.look()
    expect(stalls).toEqual([1.5])
  })
})
