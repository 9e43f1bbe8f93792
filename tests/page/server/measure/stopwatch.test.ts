import { describe, expect, it } from 'vitest'
import type { AxisAnswer, StartAnswer, TakeAnswer } from '../../../../src/page/api.js'
import { servedStore } from '../../../harness/browser.js'
import { pageApi } from '../../../harness/page-api.js'

const TIMING = {
  ...{ clientId: 'test-client', sequence: 1, dial: 4, direction: 1, distanceMm: 100, durationS: 30 },
  ...{ marksS: [], step: null, person: '', madeAt: '2026-01-02T03:04:05Z' },
  clock: { before: [], after: [] },
}

/** An exchange of clocks with the laptop's clock ahead by `aheadS`, 10 ms each way. */
function exchanged(sentS: number, aheadS: number) {
  const serverReceivedS = sentS + 0.01 + aheadS
  return { sentS, serverReceivedS, serverSentS: serverReceivedS, receivedS: sentS + 0.02 }
}

describe('a timing that comes from the page', () => {
  it('is kept once however often it comes', async () => {
    const { store, axisId, served } = await servedStore([4])
    const { tell } = pageApi(served)
    const first = await tell<TakeAnswer>('stopwatch', { ...TIMING, axisId })
    const again = await tell<TakeAnswer>('stopwatch', { ...TIMING, axisId })
    expect(again.runs.map((run) => run.id)).toEqual(first.runs.map((run) => run.id))
    await tell('stopwatch', { ...TIMING, axisId, sequence: 2 })
    await tell('stopwatch', { ...TIMING, axisId, clientId: 'other-client' })
    expect(store.runs.list(axisId)).toHaveLength(3)
  })

  it('is dated by this computer, however wrong the calendar of the phone, and by how long it waited there', async () => {
    const { store, axisId, served } = await servedStore([4])
    const { tell } = pageApi(served)
    const [madeAt, sentAt] = ['2026-01-02T03:04:05Z', '2026-01-02T05:04:05Z']
    await tell('stopwatch', { ...TIMING, axisId, madeAt, sentAt })
    const [{ startedAt } = { startedAt: '' }] = store.recordings.list(axisId)
    expect(Math.abs(Date.now() - 2 * 3_600_000 - Date.parse(startedAt))).toBeLessThan(600_000)
  })

  it('counts the presses of who was measured by their own spread', async () => {
    const { store, axisId, served } = await servedStore([4])
    const { ask, tell } = pageApi(served)
    const rounds = Array.from({ length: 12 }, (_, index) => ({
      startLateS: 0.02 * (index % 3),
      stopLateS: 0.03 * (index % 2),
    }))
    store.practices.add({ person: 'Ada', at: '2026-01-01T00:00:00Z', rounds })
    expect((await ask<StartAnswer>('start')).people).toEqual(['Ada'])
    await tell('stopwatch', { ...TIMING, axisId })
    await tell('stopwatch', { ...TIMING, axisId, sequence: 2, person: 'Ada' })
    const [unknown, ada] = store.runs.list(axisId)
    expect(ada!.tags).toEqual({ person: 'Ada' })
    expect(ada!.feed!.standardUncertaintyMmPerMin).not.toBe(unknown!.feed!.standardUncertaintyMmPerMin)
  })

  it('is less sure, and says so, where the phone slept in between', async () => {
    const { store, axisId, served } = await servedStore([4])
    const { tell } = pageApi(served)
    const sound = { before: [exchanged(100, 5)], after: [exchanged(140, 5)] }
    const slept = { before: [exchanged(100, 5)], after: [exchanged(140, 8)] }
    await tell('stopwatch', { ...TIMING, axisId, clock: sound })
    const { runs } = await tell<TakeAnswer>('stopwatch', { ...TIMING, axisId, sequence: 2, clock: slept })
    expect(runs[0]!.warnings.join(' ')).toMatch(/clock of the phone was off by 2\.9\d s/)
    const [good, bad] = store.runs
      .list(axisId)
      .map((run) => run.feed!.standardUncertaintyMmPerMin / run.feed!.feedMmPerMin)
    // 3 s less 0.028 s that the exchanges and the crystals explain, as a rectangle, of 30 s: 2.97 / √3 / 30.
    expect(bad! ** 2 - good! ** 2).toBeCloseTo((2.972 / Math.sqrt(3) / 30) ** 2, 5)
  })

  it('with presses at lines on the way is the line through all of them, and the clock of the phone counts', async () => {
    const { store, axisId, served } = await servedStore([4])
    const { tell } = pageApi(served)
    const lines = { distanceMm: 99, marksS: [10.02, 19.97], everyMm: 33 }
    const clocks = [
      { before: [exchanged(100, 5)], after: [exchanged(140, 5)] },
      { before: [exchanged(100, 5)], after: [exchanged(140, 8)] },
    ]
    for (const [sequence, clock] of clocks.entries()) {
      await tell('stopwatch', { ...TIMING, ...lines, axisId, sequence, clock })
    }
    // Lines that cannot lie within the distance are kept, and tell nothing.
    await tell('stopwatch', { ...TIMING, ...lines, axisId, sequence: 2, everyMm: 60 })
    const [good, slept, beyond] = store.runs.list(axisId)
    expect([good, slept, beyond].map((run) => run!.samples.read)).toEqual([4, 4, 0])
    // Sum of (t - mean)(y - mean) over sum of (t - mean) squared of the four presses, worked out by hand.
    expect(good!.feed!.feedMmPerMin).toBeCloseTo((60 * 1649.175) / 499.501275, 9)
    expect(beyond!.feed!.feedMmPerMin).toBeCloseTo(198, 9)
    const [sure, unsure] = [good, slept].map(
      (run) => run!.feed!.standardUncertaintyMmPerMin / run!.feed!.feedMmPerMin,
    )
    expect(unsure! ** 2 - sure! ** 2).toBeCloseTo((2.972 / Math.sqrt(3) / 30) ** 2, 5)
    expect(slept!.warnings.map(({ code }) => code)).toContain('phone-clock-strayed')
  })

  it('refuses what no timing can be', async () => {
    const { axisId, served } = await servedStore([4])
    const { tell } = pageApi(served)
    for (const wrong of [
      { durationS: 0 },
      { distanceMm: -1 },
      { direction: 0 },
      { clientId: 'a b' },
      { dial: 'fast' },
    ]) {
      await expect(tell('stopwatch', { ...TIMING, axisId, ...wrong })).rejects.toThrow(/400/)
    }
    await expect(tell('stopwatch', { ...TIMING, axisId, dial: 40 })).rejects.toThrow(/dial-outside-range/)
    await expect(tell('stopwatch', { ...TIMING, axisId, distanceMm: 50 * 25.4 })).rejects.toThrow(
      /50\.000 in is more than X travels: 21\.000 in\./,
    )
    // Refused, it can be sent again with what was wrong put right.
    await tell('stopwatch', { ...TIMING, axisId, distanceMm: 5 * 25.4 })
  })

  it('belongs to the step it was begun for, wherever the session has gone since', async () => {
    const { store, axisId, served } = await servedStore([2, 3, 4])
    const { ask, tell } = pageApi(served)
    await tell('session/begin', { axisId, procedure: 'stopwatch' })
    const stateNow = async () => (await ask<AxisAnswer>(`axis?id=${axisId}`)).session!
    const { id: sessionId, next } = await stateNow()
    const { step, dial, direction } = next!
    const begun = { ...TIMING, axisId, dial, direction, step: { sessionId, step } }
    // Two pages time the same step; one of them keeps it later.
    await tell('stopwatch', begun)
    expect((await stateNow()).next!.step).toBe(step + 1)
    const late = await tell<TakeAnswer>('stopwatch', { ...begun, clientId: 'other-client' })
    expect(late.note).toMatch(/^Run 1 had been timed already/)
    // A timing that was begun for a step is kept for it after that was skipped, and after the session has ended.
    const second = (await stateNow()).next!
    await tell('session/skip', { axisId })
    const ofSecond = {
      dial: second.dial,
      direction: second.direction,
      step: { sessionId, step: second.step },
    }
    await tell('stopwatch', { ...TIMING, axisId, sequence: 2, ...ofSecond })
    await tell('session/end', { axisId })
    await tell('stopwatch', { ...TIMING, axisId, sequence: 3, ...ofSecond })
    expect(store.runs.list(axisId).map((run) => [run.dial, run.direction, run.sessionId, run.step])).toEqual([
      [dial, direction, sessionId, step],
      [dial, direction, sessionId, step],
      [second.dial, second.direction, sessionId, second.step],
      [second.dial, second.direction, sessionId, second.step],
    ])
  })
})
