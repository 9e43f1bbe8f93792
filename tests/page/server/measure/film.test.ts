import { describe, expect, it } from 'vitest'
import type { AxisAnswer, TakeAnswer } from '../../../../src/page/api.js'
import { servedStore } from '../../../harness/browser.js'
import { pageApi } from '../../../harness/page-api.js'

const FILM = {
  ...{ clientId: 'test-client', sequence: 1, dial: 4, direction: 1 },
  ...{
    positionLastDigitMm: 0.01,
    frameS: 1 / 30,
    framesTold: true,
    refreshS: 0.1,
    refreshSeen: true,
    step: null,
  },
  readings: [
    { timeS: 1.2, positionMm: 10.02 },
    { timeS: 16.2, positionMm: 55.01 },
    { timeS: 31.2, positionMm: 100.03 },
  ],
}

/** At rest, then so long at so many mm/s, then at rest; ten numbers a second, of a display in inches. */
function readOff(mmPerS: number, steadyS: number): [number, number][] {
  return Array.from({ length: 10 * steadyS + 30 }, (_, i) => {
    const wayMm = mmPerS * Math.min(Math.max(i / 10 - 1, 0), steadyS)
    return [i / 10, Math.round(((20 + wayMm) / 25.4) * 10_000)]
  })
}

const READ = {
  ...{ clientId: 'test-client', sequence: 2, dial: 4, unit: 'in', decimals: 4, step: null, direction: null },
}

describe('readings off a film that come from the page', () => {
  it('are a run, sure to the refresh of the display, and kept once', async () => {
    const { store, axisId, served } = await servedStore([4])
    const { tell } = pageApi(served)
    const take = await tell<TakeAnswer>('film', { ...FILM, axisId })
    await tell('film', { ...FILM, axisId })
    const [run, ...more] = store.runs.list(axisId)
    expect(more).toEqual([])
    expect(take.problem).toBeNull()
    expect(run!.feed!.feedMmPerMin).toBeCloseTo(180, 0)
    // 0.1 s/√12 for each of three readings over 30 s: several times better than presses of 0.07 s.
    const share = run!.feed!.standardUncertaintyMmPerMin / run!.feed!.feedMmPerMin
    expect(share).toBeLessThan(0.002)
    expect(share).toBeGreaterThan(0.0005)
  })

  it('that no traverse can have made are refused in words, and nothing is kept', async () => {
    const { store, axisId, served } = await servedStore([4])
    const { tell } = pageApi(served)
    const backward = [FILM.readings[0]!, { timeS: 16.2, positionMm: 5 }]
    await expect(tell('film', { ...FILM, axisId, readings: backward })).rejects.toThrow(
      /Reading 2: the position does not move/,
    )
    expect(store.runs.list(axisId)).toEqual([])
  })

  it('as the program read them digit by digit are kept as lines before they are judged, and once', async () => {
    const { store, axisId, served } = await servedStore([4])
    const { tell } = pageApi(served)
    const positions = readOff(-3, 30)
    const film = { ...READ, axisId, positions }
    const take = await tell<TakeAnswer>('film/read', film)
    const again = await tell<TakeAnswer>('film/read', film)
    expect(again.runs.map(({ id }) => id)).toEqual(take.runs.map(({ id }) => id))
    const [run, ...more] = store.runs.list(axisId)
    expect(more).toEqual([])
    expect(run).toMatchObject({ direction: -1, source: 'readout', accepted: true })
    expect(run!.feed!.feedMmPerMin).toBeCloseTo(180, 0)
    const lines = [...store.recordings.lines(run!.recordingId)]
    expect(lines).toHaveLength(positions.length)
    expect(lines.at(-1)!.text).toBe('-2.7559')
    await expect(tell('film/read', { ...film, positions: [[0, 1]] })).rejects.toThrow(/positions/)
  })

  it('settle the step that was filmed, like any other run', async () => {
    const { store, axisId, served } = await servedStore([2, 4])
    const { ask, tell } = pageApi(served)
    const state = async () => (await ask<AxisAnswer>(`axis?id=${axisId}`)).session!
    await tell('session/begin', { axisId, procedure: 'stopwatch' })
    const { id: sessionId, next: first } = await state()
    const { dial, direction, step } = first!
    const away =
      direction === 1 ? FILM.readings : FILM.readings.map((one) => ({ ...one, positionMm: -one.positionMm }))
    await tell('film', { ...FILM, axisId, dial, direction, readings: away, step: { sessionId, step } })

    // Read digit by digit, the next step is left open by a film that shows the other way, and settled by the right one.
    const second = (await state()).next!
    expect(second.step).not.toBe(step)
    const wanted = { dial: second.dial, direction: second.direction, step: { sessionId, step: second.step } }
    const film = (mmPerS: number, sequence: number) =>
      tell<TakeAnswer>('film/read', { ...READ, ...wanted, axisId, sequence, positions: readOff(mmPerS, 30) })
    expect((await film(-3 * second.direction, 2)).problem).toMatch(/other direction than/)
    expect((await state()).next!.step).toBe(second.step)
    expect((await film(3 * second.direction, 3)).problem).toBeNull()
    expect((await state()).next!.step).not.toBe(second.step)
    const made = store.runs.list(axisId).filter((run) => run.droppedAt === null)
    expect(made.map((run) => [run.dial, run.direction, run.source, run.sessionId, run.step])).toEqual([
      [dial, direction, 'stopwatch', sessionId, step],
      [second.dial, second.direction, 'readout', sessionId, second.step],
    ])
    // Too short for what the procedure asks, it leaves its step open too.
    const third = (await state()).next!
    const short = { dial: third.dial, direction: third.direction, step: { sessionId, step: third.step } }
    const positions = readOff(3 * third.direction, 9)
    const take = await tell<TakeAnswer>('film/read', { ...READ, ...short, axisId, sequence: 4, positions })
    expect(take.problem).toMatch(/asks for at least/)
    expect((await state()).next!.step).toBe(third.step)
  })

  it('of which too few frames could be read are kept with the reason, and do not count', async () => {
    const { store, axisId, served } = await servedStore([4])
    const { tell } = pageApi(served)
    // A third of the numbers of a short travel, here and there.
    const positions = readOff(3, 3).filter((_, i) => i < 12 || i > 38 || i % 5 === 0)
    const take = await tell<TakeAnswer>('film/read', { ...READ, axisId, positions })
    expect(take.problem).toMatch(/^Too few frames of the film could be read: they tell the feed to ±/)
    expect(store.runs.list(axisId).map((run) => [run.accepted, run.droppedAt === null])).toEqual([
      [true, false],
    ])
  })
})
