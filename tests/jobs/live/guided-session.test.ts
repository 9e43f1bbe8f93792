import { join } from 'node:path'
import { describe, expect, it, onTestFinished } from 'vitest'
import { GuidedSession, recordStopwatchTakes } from '../../../src/jobs/index.js'
import type { Procedure } from '../../../src/planning/index.js'
import { openStore } from '../../../src/store/index.js'
import { temporaryFolder } from '../../harness/program.js'

const NOW = '2026-03-01T10:00:00.000Z'

const PROCEDURE: Procedure = {
  name: 'two marks',
  title: 'Two marks, up and down',
  marks: 'axis',
  passes: ['up', 'down'],
  directions: ['+', '-'],
  source: 'stopwatch',
  minimumTravelTimeS: 30,
  longestTravelShare: 0.8,
  restS: 2,
  resetDial: true,
  cautions: [],
}

function bench() {
  const store = openStore(join(temporaryFolder(), 'store.db'), { mode: 'write' })
  onTestFinished(() => store.close())
  const machine = store.machines.add({ name: 'Bench', unit: 'in', spindleRpm: [] }, NOW)
  const axis = store.axes.add(
    machine.id,
    {
      name: 'X',
      travelMm: 500,
      dialMin: 0,
      dialMax: 10,
      marks: [2, 5],
      stepped: false,
      leadscrewPitchMm: null,
      dialClicks: false,
    },
    NOW,
  )
  const open = (fresh = false) =>
    GuidedSession.open(store, axis, { procedure: PROCEDURE, source: 'stopwatch', fresh }, NOW)
  /** Times a traverse for the step that is asked for. */
  const make = (session: GuidedSession, direction?: 1 | -1) => {
    const step = session.next()!
    const take = {
      dial: step.dial,
      origin: 'test',
      entry: { distanceMm: 100, durationS: 30, direction: direction ?? step.direction, marks: null },
      note: null,
    }
    const conditions = session.conditions(step, { dialReset: true, tags: {}, note: null, startedAt: NOW })
    return session.settle(step, recordStopwatchTakes(store, axis, [take], conditions)[0]!, NOW)
  }
  return { store, axis, open, make }
}

describe('GuidedSession', () => {
  it('walks through the steps in the order of the procedure and has none left at the end', () => {
    const { open, make } = bench()
    const session = open()
    const made = Array.from({ length: 8 }, () => make(session).step)
    expect(made.map(({ dial, direction }) => dial * direction)).toEqual([2, -2, 5, -5, 5, -5, 2, -2])
    expect(session.next()).toBeNull()
  })

  it('goes on where it stopped, also in another process, until it is ended or begun anew', () => {
    const { open, make } = bench()
    make(open())
    const again = open()
    expect(again.resumed).toBe(true)
    expect(again.next()!.step).toBe(2)
    expect(open(true).next()!.step).toBe(1)
  })

  it('drops a run that went the other way, says so, and asks for the step again', () => {
    const { store, axis, open, make } = bench()
    const session = open()
    const { run, problem } = make(session, -1)
    expect(run).toBeNull()
    expect(problem).toMatch(/other direction/)
    expect(session.next()!.step).toBe(1)
    const [kept] = store.runs.list(axis.id)
    expect(kept!.droppedAt).not.toBeNull()
    expect(store.runs.evidenceFor(axis.id).evidence).toHaveLength(0)
  })

  it('repeats the last run: the old one stays in the store, dropped', () => {
    const { store, axis, open, make } = bench()
    const session = open()
    make(session)
    make(session)
    expect(session.dropLast(NOW)!.step).toBe(2)
    expect(session.next()!.step).toBe(2)
    make(session)
    expect(store.runs.list(axis.id)).toHaveLength(3)
    expect(session.doneSteps).toEqual([1, 2])
  })

  it('leaves a skipped step out of this sitting alone', () => {
    const { open } = bench()
    const session = open()
    session.skip(session.next()!)
    expect(session.next()!.step).toBe(2)
    expect(open().next()!.step).toBe(1)
  })

  it('expects the feed that this setting gave before', () => {
    const { open, make } = bench()
    const session = open()
    expect(session.expectedFeedMmPerMin(session.next()!)).toBeNull()
    make(session)
    expect(session.expectedFeedMmPerMin(session.next()!)).toBeCloseTo(200, 9)
  })

  it('goes on without fixed steps until the table is good enough, past an interruption and a skipped setting', () => {
    const { store, axis, make } = bench()
    const goodEnough = { withinPercent: 5, percentAlone: false, directions: [1 as const] }
    const open = () =>
      GuidedSession.openUntilGoodEnough(store, axis, { goodEnough, source: 'stopwatch', fresh: false }, NOW)
    const first = open()
    expect(first.outlook(PROCEDURE)).toMatchObject({ done: 0, total: first.plan.steps.length })
    expect(first.outlook(PROCEDURE).minutesLeft).toBeGreaterThan(2)
    expect([make(first).step.dial, make(first).step.dial]).toEqual([2, 5])
    const again = open()
    expect(again).toMatchObject({ resumed: true, doneSteps: [1, 2] })
    expect(again.advice!.next!.because).toBe('never-repeated')
    const third = again.next()!
    again.skip(third)
    expect(again.next()!.dial).not.toBe(third.dial)
    expect(open().next()).toEqual(third)
    const last = open()
    for (let made = 2; last.next() !== null; made += 1) {
      expect(made).toBeLessThan(20)
      make(last)
    }
    expect(last.isComplete).toBe(true)
    expect(last.advice!.reached).toBe(true)
    // Another wish is another session, and what was measured counts.
    const finer = { ...goodEnough, withinPercent: 0.001, percentAlone: true }
    const wanted = { goodEnough: finer, source: 'stopwatch', fresh: false } as const
    const other = GuidedSession.openUntilGoodEnough(store, axis, wanted, NOW)
    expect(other).toMatchObject({ resumed: false, doneSteps: [] })
    expect(other.advice!.next?.because).not.toBe('not-measured')
  })
})
