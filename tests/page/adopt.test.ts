import { describe, expect, it } from 'vitest'
import { fitTables, recordStopwatchTakes } from '../../src/jobs/index.js'
import type { AxisAnswer, RecheckAnswer } from '../../src/page/api.js'
import { hasBrowser, openBrowser, openPage, PHONE, servedStore } from '../harness/browser.js'
import { pageApi } from '../harness/page-api.js'

/** Feed of a dial for this test alone, mm/min, and how its timings scatter. */
const FEED_MM_PER_MIN = (dial: number): number => 40 * dial
const SCATTER = [1.002, 0.999, 1.003, 0.998]

describe.skipIf(!hasBrowser)('a recheck that found the machine moved', () => {
  it('offers the new table with the change that it makes, and goes to it', async () => {
    const { store, axisId, served } = await servedStore([2, 4, 6, 8])
    const axis = store.axes.byId(axisId)
    const at = new Date().toISOString()
    const takes = [2, 4, 6, 8, 8, 6, 4, 2].map((dial, index) => {
      const timed = { distanceMm: FEED_MM_PER_MIN(dial), durationS: 60 * SCATTER[index % 4]! }
      return { dial, origin: 'test', entry: { ...timed, direction: 1 as const, marks: null }, note: null }
    })
    recordStopwatchTakes(store, axis, takes, { dialReset: true, tags: {}, note: null, startedAt: at })
    fitTables(store, axis, { filter: {}, reason: null, fittedAt: at })
    const { ask, tell } = pageApi(served)
    await tell('recheck/begin', { axisId, withinPercent: 3, reason: 'belt changed', source: 'stopwatch' })
    for (let sequence = 1; ; sequence += 1) {
      const { session } = await ask<AxisAnswer>(`axis?id=${axisId}`)
      if (session?.next == null) break
      const { dial, direction, step } = session.next
      await tell('stopwatch', {
        ...{ clientId: 'test-client', sequence, axisId, dial, direction, marksS: [], person: '' },
        ...{ distanceMm: FEED_MM_PER_MIN(dial), durationS: (60 * SCATTER[sequence % 4]!) / 1.1 },
        ...{ step: { sessionId: session.id, step }, madeAt: at, clock: { before: [], after: [] } },
      })
    }
    const { verdict } = await tell<RecheckAnswer>('recheck/judge', { axisId, withinPercent: 3 })
    expect(verdict).toBe('moved')

    const page = await openPage(await openBrowser(), PHONE, `${served.url}#/check`)
    await page.getByRole('button', { name: /^Make a new table: all feeds \+(9|10)\.\d+ %/ }).tap()
    await page.getByRole('heading', { name: 'Feeds of X' }).waitFor()
    await page.getByText(/Direction \+: version 2 of/).waitFor()
    expect(await page.getByText('found that the feeds have moved').count()).toBe(0)
  })
})
