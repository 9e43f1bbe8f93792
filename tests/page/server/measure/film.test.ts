import { describe, expect, it } from 'vitest'
import type { TakeAnswer } from '../../../../src/page/api.js'
import { servedStore } from '../../../harness/browser.js'
import { pageApi } from '../../../harness/page-api.js'

const FILM = {
  ...{ clientId: 'test-client', sequence: 1, dial: 4, direction: 1 },
  ...{ positionLastDigitMm: 0.01, frameS: 1 / 30, refreshS: 0.1 },
  readings: [
    { timeS: 1.2, positionMm: 10.02 },
    { timeS: 16.2, positionMm: 55.01 },
    { timeS: 31.2, positionMm: 100.03 },
  ],
}

describe('readings off a film that come from the page', () => {
  it('are a run, sure to the frame and the refresh of the display, and kept once', async () => {
    const { store, axisId, served } = await servedStore([4])
    const { tell } = pageApi(served)
    const take = await tell<TakeAnswer>('film', { ...FILM, axisId })
    await tell('film', { ...FILM, axisId })
    const [run, ...more] = store.runs.list(axisId)
    expect(more).toEqual([])
    expect(take.problem).toBeNull()
    expect(run!.feed!.feedMmPerMin).toBeCloseTo(180, 0)
    // (1/30 s and 0.1 s)/√12 for each of three readings over 30 s: several times better than presses of 0.07 s.
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
    // At rest, then 3 mm/s for half a minute, then at rest; ten numbers a second, of a display in inches.
    const positions = Array.from({ length: 330 }, (_, i) => {
      const wayMm = 3 * Math.min(Math.max(i / 10 - 1, 0), 30)
      return [i / 10, Math.round(((20 - wayMm) / 25.4) * 10_000)]
    })
    const film = { clientId: 'test-client', sequence: 2, axisId, dial: 4, unit: 'in', decimals: 4, positions }
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
})
