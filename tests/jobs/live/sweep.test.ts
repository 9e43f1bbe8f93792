import { describe, expect, it } from 'vitest'
import {
  fitTables,
  SweepSession,
  SweepsUntilGoodEnough,
  singleSweep,
  sweepCalibration,
  travelsBegan,
} from '../../../src/jobs/index.js'
import { onceThrough } from '../../../src/planning/index.js'
import { QUILLFEN_MILL } from '../../../src/simulation/index.js'
import { liveSessionBench } from '../../harness/live/live-session-bench.js'
import { SweepingHand } from '../../harness/live/sweeping-hand.js'

const CONDITIONS = { dialReset: true, tags: {}, note: null }
const TRAVEL_MM = 550

async function benchWith(hand: SweepingHand) {
  const bench = await liveSessionBench(TRAVEL_MM)
  let heard = 0
  let isDone = false
  const play = (forS: number) =>
    hand.play(
      forS,
      (byS) => bench.clock.advance(byS),
      (line) => {
        bench.line(line)
        for (; heard < bench.events.length; heard++) {
          const event = bench.events[heard]!
          hand.hear(event)
          isDone ||= event.kind === 'done' || event.kind === 'failed'
        }
      },
      () => isDone,
    )
  const cues = () => bench.events.flatMap((event) => (event.kind === 'sweep' ? [event.cue] : []))
  const outcomes = () => bench.events.flatMap((event) => (event.kind === 'judged' ? [event.outcome] : []))
  return { ...bench, play, cues, outcomes }
}

describe('a travel through several settings, live', () => {
  it('says what to turn to when a setting is known, then to stop, and keeps a run for each', async () => {
    const hand = new SweepingHand(QUILLFEN_MILL, 5)
    const { live, store, axis, play, cues, outcomes } = await benchWith(hand)
    live.arm({ kind: 'sweep', sweeps: singleSweep(store, axis, [2, 3, 5, 7]), conditions: CONDITIONS })
    play(150)
    expect(cues()).toEqual(['start', 'turn', 'turn', 'turn', 'stop'])
    const [outcome] = outcomes()
    expect(outcome!.failure).toBeNull()
    expect(outcome!.runs.map(({ dial, accepted, direction }) => [dial, accepted, direction])).toEqual(
      [2, 3, 5, 7].map((dial) => [dial, true, 1]),
    )
    for (const [i, run] of outcome!.runs.entries()) {
      expect(Math.abs(run.feed!.feedMmPerMin / hand.held[i]!.feedMmPerMin - 1)).toBeLessThan(0.005)
    }
    expect(store.runs.list(axis.id)).toHaveLength(4)
    // A calibration by travels that is begun in this session goes on with this one; on another day it starts over.
    const [{ startedAt } = { startedAt: '' }] = store.recordings.list(axis.id)
    expect(travelsBegan(store, axis, startedAt)).toBe(startedAt)
    expect(travelsBegan(store, axis, '2099-01-01T00:00:00.000Z')).toBe('2099-01-01T00:00:00.000Z')
    const marked = { ...axis, marks: [2, 3, 5, 9] }
    expect(sweepCalibration(store, marked, [1], startedAt).missing).toBe(2 * 4 - 3)
    const later = new Date(Date.parse(startedAt) + 60_000).toISOString()
    fitTables(store, axis, { filter: {}, reason: 'test', fittedAt: startedAt })
    expect(travelsBegan(store, axis, later)).toBe(later)
  })

  it('says to stop before the travel ends; what is known by then counts', async () => {
    const hand = new SweepingHand(QUILLFEN_MILL, 6)
    const { live, store, axis, play, cues, outcomes } = await benchWith(hand)
    live.arm({ kind: 'sweep', sweeps: singleSweep(store, axis, [7, 8, 9, 10]), conditions: CONDITIONS })
    play(150)
    expect(cues().at(-1)).toBe('stop')
    const runs = outcomes()[0]!.runs
    expect(runs.length).toBeGreaterThanOrEqual(3)
    expect(runs.length).toBeLessThan(5)
    for (const [i, run] of runs.entries()) {
      expect(run.dial).toBe(7 + i)
      expect(Math.abs(run.feed!.feedMmPerMin / hand.held[i]!.feedMmPerMin - 1)).toBeLessThan(0.01)
    }
  })

  it('goes to and fro until every mark has its runs each way', async () => {
    const hand = new SweepingHand(QUILLFEN_MILL, 7)
    const { live, store, axis, clock, play, outcomes, told } = await benchWith(hand)
    const wanted = {
      runs: [3, 5, 7, 9].map((dial) => ({ dial, runs: 2 })),
      directions: [1, -1] as const,
      order: onceThrough,
      sinceIso: '2026-01-01T00:00:00.000Z',
    }
    const sweeps = new SweepSession(store, axis, wanted)
    expect(sweeps.missing).toBe(16)
    live.arm({ kind: 'sweep', sweeps, conditions: CONDITIONS })
    const fromS = clock.nowS()
    play(900)
    expect(told().at(-1)).toBe('done')
    expect(sweeps.missing).toBe(0)
    const runs = outcomes().flatMap((outcome) => outcome.runs)
    expect(runs.every(({ accepted }) => accepted)).toBe(true)
    // 16 settings of some 12 s, and the rests between the travels.
    expect(clock.nowS() - fromS).toBeLessThan(360)
  })

  it('goes to and fro until every place of the table is good enough, and carries on from what was measured', async () => {
    const hand = new SweepingHand(QUILLFEN_MILL, 9)
    const { live, store, axis: bare, play, outcomes, told } = await benchWith(hand)
    const axis = { ...bare, marks: [3, 5, 6, 7, 9] }
    const goodEnough = { withinPercent: 7, percentAlone: false, directions: [1, -1] as const }
    const sweeps = new SweepsUntilGoodEnough(store, axis, goodEnough)
    const before = sweeps.advice
    expect(before.next).toEqual({ direction: 1, dials: axis.marks })
    expect(before.minutes).toBeGreaterThan(1)
    live.arm({ kind: 'sweep', sweeps, conditions: CONDITIONS })
    play(2400)
    expect(told().at(-1)).toBe('done')
    expect(sweeps.advice).toMatchObject({ reached: true, next: null, runs: 0, minutes: 0 })
    const runs = outcomes().flatMap((outcome) => outcome.runs)
    expect(runs.filter(({ accepted }) => accepted).length).toBeLessThanOrEqual(2 * 2 * axis.marks.length)
    expect(new Set(runs.map(({ direction }) => direction))).toEqual(new Set([1, -1]))
    // Whoever asks again from the same store has nothing more to do.
    expect(new SweepsUntilGoodEnough(store, axis, goodEnough).next()).toBeNull()
  })

  it('makes the six runs of a recheck in two travels and less than two minutes', async () => {
    const hand = new SweepingHand(QUILLFEN_MILL, 8)
    const { live, store, axis, clock, play, cues, outcomes, told } = await benchWith(hand)
    const wanted = {
      runs: [
        { dial: 2, runs: 2 },
        { dial: 6, runs: 2 },
        { dial: 9, runs: 2 },
      ],
      ...{ directions: [1] as const, order: onceThrough, sinceIso: '2026-01-01T00:00:00.000Z' },
    }
    const sweeps = new SweepSession(store, axis, wanted)
    live.arm({ kind: 'sweep', sweeps, conditions: CONDITIONS })
    const fromS = clock.nowS()
    play(300)
    expect(told().at(-1)).toBe('done')
    expect(cues().filter((cue) => cue === 'start')).toHaveLength(2)
    const runs = outcomes().flatMap((outcome) => outcome.runs)
    expect(runs.map(({ dial, accepted }) => [dial, accepted])).toEqual(
      [2, 6, 9, 2, 6, 9].map((dial) => [dial, true]),
    )
    expect(clock.nowS() - fromS).toBeLessThan(120)
  })
})
