import { describe, expect, it } from 'vitest'
import { fitTables, RECHECK_TAG, recordStopwatchTakes } from '../../../../src/jobs/index.js'
import type {
  AxisAnswer,
  CardAnswer,
  HistoryAnswer,
  RecheckAnswer,
  SessionState,
  TakeAnswer,
  VerdictAnswer,
} from '../../../../src/page/api.js'
import { servedStore } from '../../../harness/browser.js'
import { pageApi } from '../../../harness/page-api.js'

const MM_PER_MIN_PER_DIAL = 40
/** Timed over a minute, presses of 0.07 s scatter hardly count; these scatter by some tenths of a percent. */
const SCATTER = [1.002, 0.999, 1.003, 0.998, 1.001, 0.9985]

/** A table of four marks, each timed three times in the plus direction. */
async function fitted() {
  const { store, axisId, served } = await servedStore([2, 4, 6, 8])
  const axis = store.axes.byId(axisId)
  const at = new Date().toISOString()
  const takes = [0, 1, 2].flatMap((pass) =>
    [2, 4, 6, 8].map((dial, index) => {
      const feed = MM_PER_MIN_PER_DIAL * dial
      const entry = {
        distanceMm: feed,
        durationS: 60 * SCATTER[(pass + index) % 6]!,
        direction: 1 as const,
        marks: null,
      }
      return { dial, origin: 'test', entry, note: null }
    }),
  )
  recordStopwatchTakes(store, axis, takes, { dialReset: true, tags: {}, note: null, startedAt: at })
  fitTables(store, axis, { filter: {}, reason: null, fittedAt: at })
  return { store, axisId, api: pageApi(served) }
}

type Fitted = Awaited<ReturnType<typeof fitted>>

/** Makes every run of the session by stopwatch, with the table `factor` times as fast as it was. */
async function makeRuns({ api, axisId }: Fitted, factor: number, from = 1): Promise<number> {
  for (let sequence = from; ; sequence += 1) {
    const { session } = await api.ask<AxisAnswer>(`axis?id=${axisId}`)
    const next = session?.next ?? null
    if (next === null) return sequence
    const distanceMm = MM_PER_MIN_PER_DIAL * next.dial
    const take = await api.tell<TakeAnswer>('stopwatch', {
      ...{ clientId: 'test-client', sequence, axisId, dial: next.dial, direction: next.direction },
      ...{
        distanceMm,
        durationS: (60 * SCATTER[sequence % 6]!) / factor,
        marksS: [],
        step: { sessionId: session!.id, step: next.step },
        person: '',
      },
      ...{ madeAt: new Date().toISOString(), clock: { before: [], after: [] } },
    })
    expect(take.problem).toBeNull()
  }
}

/** Makes the first run of the session by a film that was read digit by digit: at rest, a minute of travel, at rest. */
async function filmFirstRun({ api, axisId }: Fitted, { id, next }: SessionState): Promise<void> {
  const { step, dial, direction } = next!
  const mmPerS = (direction * MM_PER_MIN_PER_DIAL * dial) / 60
  const wayS = (i: number): number => Math.min(Math.max(i / 10 - 1, 0), 60)
  const positions = Array.from({ length: 620 }, (_, i) => [i / 10, Math.round(100 * mmPerS * wayS(i))])
  const take = await api.tell<TakeAnswer>('film/read', {
    ...{ clientId: 'test-client', sequence: 1, axisId, dial, direction, unit: 'mm', decimals: 2, positions },
    step: { sessionId: id, step },
  })
  expect(take.problem).toBeNull()
}

const begin = { withinPercent: 3, reason: 'belt changed', source: 'stopwatch' }

describe('a recheck on the page', () => {
  it('plans its runs, timed or filmed, tags them with the reason, and tells that the table holds', async () => {
    const fit = await fitted()
    const { api, axisId, store } = fit
    await api.tell('recheck/begin', { axisId, ...begin })
    const { session } = await api.ask<AxisAnswer>(`axis?id=${axisId}`)
    expect(session).toMatchObject({
      recheck: { reason: 'belt changed', withinPercent: 3 },
      source: 'stopwatch',
    })
    expect(session!.outlook ?? '').not.toContain('No number of runs')
    await filmFirstRun(fit, session!)
    await makeRuns(fit, 1, 2)
    const made = store.runs.list(axisId, { tags: { [RECHECK_TAG]: 'belt changed' } })
    expect(made.length).toBe((session as SessionState).steps.length)
    const answer = await api.tell<RecheckAnswer>('recheck/judge', { axisId, withinPercent: 3 })
    expect(answer).toMatchObject({
      verdict: 'holds',
      headline: 'The table holds within 3 % from dial 2 to 8',
      changed: false,
      range: { from: 2, to: 8 },
      change: null,
    })
    expect(answer.marks.length).toBeGreaterThan(0)
    expect(store.sessions.inProgress(axisId)).toBeNull()
    const history = await api.ask<HistoryAnswer>(`history?id=${axisId}`)
    expect(history.entries[0]!.text).toMatch(
      /recheck within 3 %: the table holds from dial 2 to 8, all marks together .*, reason: belt changed/,
    )
    expect(history.chart).toBeNull()
  })

  it('tells that all feeds moved by one factor, makes the new table on request, and charts the rechecks', async () => {
    const fit = await fitted()
    const { api, axisId, store } = fit
    await api.tell('recheck/begin', { axisId, ...begin })
    const sequence = await makeRuns(fit, 1)
    await api.tell('recheck/judge', { axisId, withinPercent: 3 })
    await api.tell('recheck/begin', { axisId, ...begin, reason: 'motor replaced' })
    await makeRuns(fit, 1.1, sequence)
    const answer = await api.tell<RecheckAnswer>('recheck/judge', { axisId, withinPercent: 3 })
    expect(answer.verdict).toBe('moved')
    expect(answer.headline).toMatch(/^The feeds have moved by (9|10)\.\d %, more than the 3 % you allow$/)
    expect(answer.change).toMatch(/all feeds \+(9|10)\.\d+ %/)
    // Every page is told so from now on, and the card as well, until there is a new table.
    const standing = await api.ask<VerdictAnswer>(`verdict?id=${axisId}`)
    expect(standing.verdict).toEqual(answer)
    const codes = async () =>
      (await api.ask<AxisAnswer>(`axis?id=${axisId}`)).tables.flatMap(({ warnings }) =>
        warnings.map(({ code }) => code),
      )
    expect(await codes()).toContain('table-moved')
    // The table and what moved it are of one day: answers for today are those of the machine as it feeds now.
    const { lookups } = await api.ask<AxisAnswer>(`axis?id=${axisId}`)
    expect(lookups[0]!.today!.shift.value).toBeCloseTo(10, 0)
    const card = await api.ask<CardAnswer>(`card?id=${axisId}`)
    // Drawn on it, and not said again under the list that a phone shows below the page's own warning.
    expect(card.svg).toMatch(/\(motor replaced\) found that/)
    expect(card.notes.join(' ')).not.toMatch(/found that/)
    expect(card.rows[0]).toMatchObject({ settings: [{ direction: 1 }] })
    await api.tell('recheck/adopt', { axisId })
    expect(store.tables.inForce(axisId, 1)).toMatchObject({ version: 2, parentVersion: 1 })
    expect(await api.ask<VerdictAnswer>(`verdict?id=${axisId}`)).toEqual({ verdict: null })
    expect(await codes()).not.toContain('table-moved')
    const { chart } = await api.ask<HistoryAnswer>(`history?id=${axisId}`)
    expect(chart).toMatch(/^<svg/)
  })

  it('refuses to judge where no recheck is in progress, and leaves a calibration alone', async () => {
    const { api, axisId, store } = await fitted()
    await expect(api.tell('recheck/judge', { axisId, withinPercent: 3 })).rejects.toThrow(/no-session/)
    await api.tell('session/begin', { axisId, procedure: 'stopwatch' })
    await expect(api.tell('recheck/judge', { axisId, withinPercent: 3 })).rejects.toThrow(/no-recheck/)
    // Asking how things stand begins nothing and ends nothing.
    const before = store.sessions.allInProgress(axisId).length
    await api.ask(`axis?id=${axisId}`)
    expect(store.sessions.allInProgress(axisId)).toHaveLength(before)
  })
})
