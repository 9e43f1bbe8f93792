import { describe, expect, it } from 'vitest'
import { DeviceError } from '../../../src/errors/index.js'
import { GuidedSession, goodEnoughProcedure, type LiveEvent } from '../../../src/jobs/index.js'
import { liveSessionBench, TWO_STEPS } from '../../harness/live/live-session-bench.js'

const UNPLUGGED = new DeviceError('port-vanished', 'The port vanished.', 'Plug it in.')
const LOST = 'the readout was lost while the table moved: make this traverse again'
const CONDITIONS = { dialReset: true, tags: {}, note: null }
const RUN = { kind: 'run', dial: 8, conditions: CONDITIONS } as const

function only<K extends LiveEvent['kind']>(
  events: readonly LiveEvent[],
  kind: K,
): Extract<LiveEvent, { kind: K }>[] {
  return events.filter((event): event is Extract<LiveEvent, { kind: K }> => event.kind === kind)
}

describe('LiveSession with a single traverse', () => {
  it('tells the start, the stop and the run, and is done when the table rests', async () => {
    const bench = await liveSessionBench()
    bench.live.arm(RUN)
    expect(bench.live.status).toBe('armed')
    const truth = bench.play({ direction: 1, seed: 1, travelS: 5 })
    expect(bench.told()).toEqual(['listening', 'conclusions', 'moving', 'stopped', 'judged', 'done'])
    const [judged] = only(bench.events, 'judged')
    expect(judged!.ending).toBe('at-rest')
    const [run] = judged!.outcome.runs
    expect(run).toMatchObject({ accepted: true, droppedAt: null, dialReset: true, direction: 1 })
    expect(Math.abs(run!.feed!.feedMmPerMin / truth.runFeedMmPerMin - 1)).toBeLessThan(0.002)
    expect(bench.live.status).toBe('watching')
  })

  it('counts neither piece of a traverse during which the readout was lost; both stay stored', async () => {
    const bench = await liveSessionBench()
    bench.live.arm(RUN)
    bench.play({ direction: 1, seed: 2, travelS: 12, untilS: 6 })
    bench.lose(UNPLUGGED)
    expect(bench.live.status).toBe('away')
    bench.clock.advance(1)
    bench.back()
    bench.play({ direction: 1, seed: 2, travelS: 12, fromS: 7 })
    expect(bench.told()).toEqual([
      ...['listening', 'conclusions', 'moving', 'lost', 'judged', 'back'],
      ...['listening', 'moving', 'stopped', 'judged', 'done'],
    ])
    const pieces = bench.store.runs.list(bench.axis.id)
    expect(pieces.map(({ accepted, dropReason }) => [accepted, dropReason])).toEqual([
      [true, LOST],
      [true, LOST],
    ])
    for (const { recordingId } of pieces) {
      expect([...bench.store.recordings.lines(recordingId)].length).toBeGreaterThan(100)
    }
    expect(bench.store.runs.evidenceFor(bench.axis.id).evidence).toEqual([])
    // The dial was not touched between the two.
    expect(pieces.map(({ dialReset }) => dialReset)).toEqual([true, false])
  })

  it('counts a whole traverse that was made before or after a loss', async () => {
    const bench = await liveSessionBench()
    bench.live.arm(RUN)
    bench.lose(UNPLUGGED)
    bench.back()
    bench.play({ direction: 1, seed: 3, travelS: 5 })
    const runs = bench.store.runs.list(bench.axis.id)
    expect(runs.map(({ droppedAt }) => droppedAt)).toEqual([null])
  })

  it('keeps what there is where a person ends it, and what came before the port was given up', async () => {
    const bench = await liveSessionBench()
    bench.live.arm(RUN)
    bench.play({ direction: 1, seed: 4, travelS: 9, untilS: 8 })
    bench.live.disarm()
    expect(only(bench.events, 'judged').map(({ ending }) => ending)).toEqual(['ended'])
    expect(bench.store.runs.list(bench.axis.id)).toMatchObject([{ accepted: true, droppedAt: null }])
    bench.live.arm(RUN)
    bench.play({ direction: 1, seed: 5, travelS: 9, untilS: 8 })
    bench.port.onClose(UNPLUGGED)
    expect(bench.events.at(-1)).toEqual({ kind: 'closed', error: UNPLUGGED })
    expect(bench.store.runs.list(bench.axis.id).at(-1)).toMatchObject({ accepted: true, dropReason: LOST })
  })

  it('points out that another axis moves while the asked one stands still, once a recording', async () => {
    const bench = await liveSessionBench()
    const others = () => only(bench.events, 'other-axis').map(({ other, axis }) => [other.label, axis])
    const at = (x: number, y: number) => {
      bench.clock.advance(0.2)
      bench.line(`X+${x.toFixed(4).padStart(8, '0')}`)
      bench.line(`Y+${y.toFixed(4).padStart(8, '0')}`)
    }
    const travel = (axis: 'x' | 'y') => {
      for (let i = 0; i < 80; i += 1) {
        const gone = Math.min(Math.max(0, i - 20), 40) * 0.02
        at(axis === 'x' ? 1 + gone : 1, axis === 'y' ? 5 + gone : 5)
      }
    }
    bench.live.arm(RUN)
    travel('y')
    travel('y')
    expect(others()).toEqual([['Y', 'X']])
    travel('x')
    bench.live.disarm()
    bench.live.arm(RUN)
    travel('x')
    expect(others()).toHaveLength(1)
    bench.live.arm(RUN)
    travel('y')
    expect(others()).toHaveLength(2)
  })

  it('tells silence once, after five usual times, and lets the next sample end it', async () => {
    const bench = await liveSessionBench()
    for (let i = 0; i < 40; i += 1) {
      bench.clock.advance(0.5)
      bench.line(`X+${i % 2 === 0 ? '001.0000' : '001.0002'}`)
    }
    bench.clock.advance(2.2)
    expect(only(bench.events, 'silent')).toEqual([])
    bench.clock.advance(5)
    expect(only(bench.events, 'silent').map(({ silentS }) => silentS)).toEqual([expect.closeTo(2.5, 0)])
    bench.line('X+001.0000')
    bench.clock.advance(5)
    expect(only(bench.events, 'silent')).toHaveLength(2)
  })

  it('is not deaf to the recording that follows lines which gave no format', async () => {
    const bench = await liveSessionBench()
    bench.live.arm(RUN)
    // Lines of another axis alone.
    for (let i = 0; only(bench.events, 'failed').length === 0 && i < 400; i += 1) {
      bench.clock.advance(0.1)
      bench.line(`Y+00${i % 10}.0000`)
    }
    expect(only(bench.events, 'failed')).toHaveLength(1)
    expect(bench.live.status).toBe('watching')
    bench.live.arm(RUN)
    bench.play({ direction: 1, seed: 6, travelS: 5 })
    expect(only(bench.events, 'judged').at(-1)!.outcome.runs).toMatchObject([{ accepted: true }])
    expect(bench.told().at(-1)).toBe('done')
  })

  it('is not deaf either after lines that gave a wrong format, such as what a readout says at its start', async () => {
    const bench = await liveSessionBench()
    for (let i = 0; i < 60; i += 1) {
      bench.clock.advance(0.05)
      bench.line('ERR 05')
    }
    expect(bench.told()).toEqual(['conclusions'])
    bench.live.arm(RUN)
    bench.play({ direction: 1, seed: 6, travelS: 5 })
    expect(only(bench.events, 'judged').at(-1)!.outcome.runs).toMatchObject([{ accepted: true }])
    expect(bench.told().at(-1)).toBe('done')
  })
})

describe('LiveSession with the steps of a guided session', () => {
  it('settles step after step, and is done after the last', async () => {
    const bench = await liveSessionBench()
    const session = bench.steps()
    bench.live.arm({ kind: 'steps', session, procedure: TWO_STEPS, conditions: CONDITIONS })
    bench.play({ direction: 1, seed: 11, travelS: 5 })
    bench.play({ direction: -1, seed: 12, travelS: 5 })
    expect(bench.told().filter((kind) => kind !== 'conclusions')).toEqual([
      ...['listening', 'moving', 'stopped', 'step-settled'],
      ...['listening', 'moving', 'stopped', 'step-settled', 'done'],
    ])
    expect(session.doneSteps).toEqual([1, 2])
  })

  it('brings a step again that was cut off by a loss, and says that the readout is back before a line comes', async () => {
    const bench = await liveSessionBench()
    const session = bench.steps()
    bench.live.arm({ kind: 'steps', session, procedure: TWO_STEPS, conditions: CONDITIONS })
    bench.play({ direction: 1, seed: 13, travelS: 12, untilS: 9 })
    bench.lose(UNPLUGGED)
    const [open] = only(bench.events, 'step-open')
    expect(open!.result).toMatchObject({ run: null, problem: expect.stringMatching(/^The readout was lost/) })
    bench.back()
    expect(bench.told().slice(-2)).toEqual(['back', 'listening'])
    expect(only(bench.events, 'listening').at(-1)!.step!.step).toBe(1)
    // The rest of the same traverse settles nothing either, long as it is.
    bench.play({ direction: 1, seed: 13, travelS: 16, fromS: 9 })
    expect(session.doneSteps).toEqual([])
    expect(only(bench.events, 'step-open')).toHaveLength(2)
    bench.play({ direction: 1, seed: 14, travelS: 5 })
    expect(session.doneSteps).toEqual([1])
  })

  it('takes no traverse shorter than the procedure asks for, unless the axis is too short for more', async () => {
    const roomy = await liveSessionBench()
    const long = { ...TWO_STEPS, minimumTravelTimeS: 10 }
    const session = roomy.steps(long)
    roomy.live.arm({ kind: 'steps', session, procedure: long, conditions: CONDITIONS })
    roomy.play({ direction: 1, seed: 15, travelS: 5 })
    expect(session.doneSteps).toEqual([])
    expect(only(roomy.events, 'step-open')[0]!.result.problem).toMatch(
      /^The traverse took 5\.\d s, and this procedure asks for at least 10 s: travel further\.$/,
    )
    roomy.play({ direction: 1, seed: 16, travelS: 10.5 })
    expect(session.doneSteps).toEqual([1])

    // At dial 8 these 30 mm take less than 5 s, and no more than 0.8 of the axis may be used.
    const short = await liveSessionBench(37)
    const cramped = short.steps(long)
    short.live.arm({ kind: 'steps', session: cramped, procedure: long, conditions: CONDITIONS })
    short.play({ direction: 1, seed: 17, travelS: 5 })
    expect(cramped.doneSteps).toEqual([1])
  })

  it('leaves a step open that a person left while the table moved', async () => {
    const bench = await liveSessionBench()
    const session = bench.steps()
    bench.live.arm({ kind: 'steps', session, procedure: TWO_STEPS, conditions: CONDITIONS })
    bench.play({ direction: 1, seed: 18, travelS: 12, untilS: 9 })
    await bench.live.close()
    expect(session.doneSteps).toEqual([])
    expect(bench.told().slice(-2)).toEqual(['step-open', 'closed'])
    expect(bench.steps().next()!.step).toBe(1)
  })

  it('begins the step that comes next where it is armed anew, and tells nothing of a table at rest', async () => {
    const bench = await liveSessionBench()
    const session = bench.steps()
    const work = { kind: 'steps', session, procedure: TWO_STEPS, conditions: CONDITIONS } as const
    bench.live.arm(work)
    session.skip(session.next()!)
    bench.live.arm(work)
    expect(bench.told()).toEqual(['listening', 'listening'])
    expect(only(bench.events, 'listening').map(({ step }) => step!.step)).toEqual([1, 2])
  })
})

describe('LiveSession with a session that goes on until the table is good enough', () => {
  it('asks for run after run at what is known least, and is done when that is enough', async () => {
    const bench = await liveSessionBench()
    const goodEnough = { withinPercent: 4, percentAlone: false, directions: [1 as const] }
    const wanted = { goodEnough, source: 'readout' as const, fresh: false }
    const session = GuidedSession.openUntilGoodEnough(
      bench.store,
      bench.axis,
      wanted,
      '2026-03-01T10:00:00.000Z',
    )
    const procedure = { ...goodEnoughProcedure(goodEnough, 'readout'), minimumTravelTimeS: 4 }
    bench.live.arm({ kind: 'steps', session, procedure, conditions: CONDITIONS })
    for (let seed = 1; !bench.told().includes('done'); seed += 1) {
      expect(seed).toBeLessThan(20)
      bench.play({ direction: 1, seed, travelS: 6 })
    }
    const asked = only(bench.events, 'listening').map(({ step }) => [step!.step, step!.dial, step!.pass])
    expect(asked.slice(0, 3)).toEqual([
      [1, 8, 1],
      [2, 8, 2],
      [3, 8, 3],
    ])
    expect(only(bench.events, 'step-settled')).toHaveLength(asked.length)
    expect(session).toMatchObject({ isComplete: true, advice: { reached: true, minutes: 0 } })
  })
})
