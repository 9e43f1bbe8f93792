import { expect, it } from 'vitest'
import { recordStopwatchTakes, travelsBegan } from '../../../../src/jobs/index.js'
import { SweepWatch } from '../../../../src/page/server/measure/sweep-watch.js'
import { QUILLFEN_MILL } from '../../../../src/simulation/index.js'
import { liveSessionBench } from '../../../harness/live/live-session-bench.js'
import { SweepingHand } from '../../../harness/live/sweeping-hand.js'

const BEFORE = '2026-01-01T00:00:00.000Z'

it('carries on after a restart with what the store knows of the travels, and shows runs and minutes left', async () => {
  const bench = await liveSessionBench(550)
  const { store, live, events, clock } = bench
  const axis = { ...bench.axis, marks: [3, 5, 7] }
  const wanted = { directions: [1, -1] as const, withinPercent: null }
  const watch = SweepWatch.ofCalibration(store, axis, wanted, BEFORE)
  const fresh = watch.state
  expect(fresh).toMatchObject({ cue: null, dials: [], runs: 12, left: 12, withinPercent: null })
  expect(fresh.minutesLeft).toBeGreaterThan(1)
  live.arm({ kind: 'sweep', sweeps: watch, conditions: { dialReset: true, tags: {}, note: null } })
  const hand = new SweepingHand(QUILLFEN_MILL, 4)
  let heard = 0
  hand.play(
    200,
    (byS) => clock.advance(byS),
    (line) => {
      bench.line(line)
      for (; heard < events.length; heard++) hand.hear(events[heard]!)
    },
    () => events.some(({ kind }) => kind === 'judged'),
  )
  live.disarm()
  const [{ startedAt } = { startedAt: '' }] = store.recordings.list(axis.id)
  const again = SweepWatch.ofCalibration(store, axis, wanted, travelsBegan(store, axis, startedAt)).state
  expect(again).toMatchObject({ runs: 12, left: 9 })
  expect(again.minutesLeft).toBeLessThan(fresh.minutesLeft + 1)
  const untilGood = SweepWatch.ofCalibration(store, axis, { ...wanted, withinPercent: 3 }, startedAt).state
  expect(untilGood.runs).toBe(untilGood.left + 3)
  expect(untilGood.left).toBeGreaterThan(0)
  expect(untilGood.sentences).toEqual([])
  // Once no run is left to make, the page says how well the table is known.
  const stepped = { ...axis, stepped: true }
  const takes = [1.002, 0.998, 1.001].flatMap((scatter) =>
    axis.marks.map((dial) => {
      const entry = { distanceMm: QUILLFEN_MILL.curve(dial) / 2, durationS: 30 * scatter }
      return { dial, origin: 'test', entry: { ...entry, direction: 1 as const, marks: null }, note: null }
    }),
  )
  recordStopwatchTakes(store, stepped, takes, { dialReset: true, tags: {}, note: null, startedAt })
  const wish = { directions: [1] as const, withinPercent: 45 }
  const loose = SweepWatch.ofCalibration(store, stepped, wish, startedAt).state
  expect(loose.left).toBe(0)
  expect(loose.sentences[0]).toMatch(/^The table is good enough at ± 45 %/)
})
