import { expect, it } from 'vitest'
import { GuidedSession, sweepGuidedRecheck } from '../../../src/jobs/index.js'
import { QUILLFEN_MILL } from '../../../src/simulation/index.js'
import { liveSessionBench } from '../../harness/live/live-session-bench.js'
import { SweepingHand } from '../../harness/live/sweeping-hand.js'

const AT = '2026-01-01T00:00:00.000Z'

it('makes in its session what a guided recheck lacks, and leaves the rest to be made one by one', async () => {
  const bench = await liveSessionBench(550)
  const { store, axis, live, events, clock } = bench
  const guided = (runs: { dial: number; runs: number }[]) =>
    GuidedSession.openRecheck(
      store,
      axis,
      { reason: 'gibs', withinPercent: 5, runs, directions: [1], source: 'readout', fresh: true },
      AT,
    )
  expect(sweepGuidedRecheck(store, axis, guided([{ dial: 5, runs: 4 }]))).toBeNull()

  const session = guided([
    { dial: 5, runs: 2 },
    { dial: 8, runs: 2 },
  ])
  const sweeps = sweepGuidedRecheck(store, axis, session)!
  expect(sweeps).toMatchObject({ total: 4, missing: 4, directions: [1] })
  const hand = new SweepingHand(QUILLFEN_MILL, 4)
  const conditions = { dialReset: true, tags: {}, note: null, session: { id: session.id, step: null } }
  live.arm({ kind: 'sweep', sweeps, conditions })
  let heard = 0
  hand.play(
    300,
    (byS) => clock.advance(byS),
    (line) => {
      bench.line(line)
      for (; heard < events.length; heard++) hand.hear(events[heard]!)
    },
    () => events.some(({ kind }) => kind === 'done'),
  )
  expect(hand.held.map(({ dial }) => dial)).toEqual([5, 8, 5, 8])
  expect(sweeps.missing).toBe(0)
  expect(session.runIds).toHaveLength(4)
  expect(session.isComplete).toBe(true)

  // A run left out is asked for again, one by one or in another travel.
  session.dropLast(AT)
  expect(session.next()).toMatchObject({ dial: 8, direction: 1 })
  expect(sweepGuidedRecheck(store, axis, session)).toMatchObject({ total: 4, missing: 1 })
  // Runs of a session before count for none begun after it.
  expect(
    sweepGuidedRecheck(
      store,
      axis,
      guided([
        { dial: 5, runs: 1 },
        { dial: 8, runs: 1 },
      ]),
    )!.missing,
  ).toBe(2)
})
