import { describe, expect, it } from 'vitest'
import { recordStopwatchTakes } from '../../../../src/jobs/index.js'
import type { AxisAnswer } from '../../../../src/page/api.js'
import type {
  ComparisonAnswer,
  DrawingAnswer,
  ExplanationAnswer,
  TableAnswer,
  VersionsAnswer,
} from '../../../../src/page/machine-api.js'
import { servedStore } from '../../../harness/browser.js'
import { pageApi } from '../../../harness/page-api.js'
import { programOn } from '../../../harness/program.js'
import { servedSimulatedMill } from '../../../harness/simulated-mill.js'

describe('runs, tables and comparisons on the page', () => {
  it('draws a run, and explains a feed as the command line does', async () => {
    const { axisId, served, path } = await servedSimulatedMill()
    const { ask } = pageApi(served)
    const { runs } = await ask<AxisAnswer>(`axis?id=${axisId}`)
    const { svg } = await ask<DrawingAnswer>(`run/picture?id=${axisId}&run=${runs[0]!.id}&unit=mm`)
    expect(svg).toMatch(/^<svg[\s\S]*mm\/min/)
    await expect(ask(`run/picture?id=${axisId}&run=nonsense`)).rejects.toThrow(/nonsense/)

    const { versions } = await ask<VersionsAnswer>(`tables?id=${axisId}`)
    expect(versions.map(({ direction, version, inForce }) => [direction, version, inForce])).toContainEqual([
      1,
      1,
      true,
    ])
    const asked = `id=${axisId}&direction=1&version=1`
    const { table } = await ask<TableAnswer>(`table?${asked}`)
    const dial = table.marks[1]!.dial
    const explained = await ask<ExplanationAnswer>(`explain?${asked}&dial=${dial}`)
    const told = await programOn(path).json<{
      feed: { value: number; unit: 'in/min' | 'mm/min' }
      combinedPercent: { mean: number; next: number }
      runs: { id: string; weight: number }[]
      leftOut: unknown[]
    }>('explain', String(dial), '--direction', '+')
    const perUnit = told.feed.unit === 'in/min' ? 25.4 : 1
    expect(explained.answer.feed.feedMmPerMin).toBeCloseTo(told.feed.value * perUnit, 6)
    expect(explained.budget?.combinedPercent.mean).toBeCloseTo(told.combinedPercent.mean, 9)
    expect(explained.budget?.combinedPercent.next).toBeCloseTo(told.combinedPercent.next, 9)
    expect(explained.runs.map(({ run }) => run.id)).toEqual(told.runs.map(({ id }) => id))
    expect(explained.leftOut).toHaveLength(told.leftOut.length)
    await expect(ask(`explain?${asked}&dial=99`)).rejects.toThrow(/dial/)
    await expect(ask(`table?id=${axisId}&direction=1&version=9`)).rejects.toThrow(/unknown-version/)
  })

  it('compares directions, tags and dates; a run carries the tags it was timed with', async () => {
    const { store, axisId, served } = await servedStore([2, 4])
    const { ask, tell } = pageApi(served)
    const axis = store.axes.byId(axisId)
    const conditions = { dialReset: true, note: null, startedAt: '2026-01-02T10:00:00.000Z' }
    const takes = (directions: readonly (1 | -1)[], percent: number) =>
      [2, 4].flatMap((dial) =>
        [0, 1, 2].flatMap((pass) =>
          directions.map((direction) => ({
            ...{ dial, origin: 'test', note: null },
            entry: {
              ...{ distanceMm: 40 * dial, direction, marks: null },
              durationS: 60 * (1 + percent / 100) * (1 + 0.001 * (pass - 1)),
            },
          })),
        ),
      )
    recordStopwatchTakes(store, axis, takes([1, -1], 0), { ...conditions, tags: { load: 'free' } })
    recordStopwatchTakes(store, axis, takes([1], 5), { ...conditions, tags: { load: 'heavy' } })
    const compare = (groups: object, direction: 1 | -1 | null = null): Promise<ComparisonAnswer> =>
      tell('compare', { axisId, withinPercent: 2, groups, direction })
    const load = await compare({ by: 'tag', key: 'load', left: 'free', right: 'heavy' }, 1)
    expect(load.verdict).toBe('different')
    expect(load.headline).toMatch(/^load heavy \(6 runs\) against load free \(6 runs\): different/)
    expect(load.overall).toMatch(/^[-−]4\.\d/)
    expect(load.marks.map((mark) => [mark.dial, mark.direction, mark.runs])).toEqual([
      [2, 1, [3, 3]],
      [4, 1, [3, 3]],
    ])
    const ways = await compare({ by: 'direction' })
    expect(ways.marks.map((mark) => mark.direction)).toEqual([null, null])
    await expect(compare({ by: 'date', before: '2020-01-01T00:00:00Z' })).rejects.toThrow(/empty-group/)

    const timing = {
      ...{ clientId: 'test-client', sequence: 1, axisId, dial: 2, direction: 1, distanceMm: 80 },
      ...{ durationS: 60, marksS: [], person: '', step: null, tags: { gearing: 'low' } },
      ...{ madeAt: new Date().toISOString(), clock: { before: [], after: [] } },
    }
    await tell('stopwatch', timing)
    const { runs } = await ask<AxisAnswer>(`axis?id=${axisId}`)
    expect(runs[0]!.tags).toEqual({ gearing: 'low' })
    await expect(ask(`run/picture?id=${axisId}&run=${runs[0]!.id}`)).rejects.toThrow(/no-track/)
    await expect(tell('stopwatch', { ...timing, sequence: 2, tags: { '': 'x' } })).rejects.toThrow(
      /bad-request/,
    )
  })
})
