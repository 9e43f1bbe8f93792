import { expect, test } from 'vitest'
import { GuidedSession, recordStopwatchTakes } from '../../../../src/jobs/index.js'
import type { AxisAnswer, ExpectedAnswer, StartAnswer } from '../../../../src/page/api.js'
import { servedStore } from '../../../harness/browser.js'
import { pageApi } from '../../../harness/page-api.js'

const AT = '2026-03-01T10:00:00.000Z'

test('the page tells what a calibration takes, and follows one until the table is good enough', async () => {
  const { store, axisId, served } = await servedStore([2, 8])
  const { ask, tell } = pageApi(served)
  store.axes.change(axisId, { ways: { plus: 'left', minus: 'right' } }, AT)
  const expected = await ask<ExpectedAnswer>(`expected?id=${axisId}&within=3`)
  expect(expected.procedures.map(({ name, runs }) => [name, runs])).toContainEqual(['standard', 12])
  for (const { minutes, width } of expected.procedures) {
    expect(minutes).toBeGreaterThan(2)
    expect(width).toMatch(/± \d.* % at the fast end/)
  }
  expect(expected.goodEnoughWidth).toContain('± 3 %')
  const [byReadout, byStopwatch] = expected.goodEnough
  expect(byReadout!.runs).toBe(byStopwatch!.runs)
  expect(byReadout!.minutes).toBeLessThan(byStopwatch!.minutes)
  // A looser wish, and one direction alone, take less.
  const runsOf = ({ goodEnough, sweeps, sweepsUntilGood }: ExpectedAnswer): number[] => [
    ...goodEnough.map(({ runs }) => runs),
    ...[sweeps!.runs, sweepsUntilGood!.runs],
  ]
  const less = await ask<ExpectedAnswer>(`expected?id=${axisId}&within=20&direction=-1`)
  for (const [index, runs] of runsOf(less).entries()) expect(runs).toBeLessThan(runsOf(expected)[index]!)
  await expect(ask(`expected?id=${axisId}&within=much`)).rejects.toThrow(/not a percentage/)

  const wish = { withinPercent: 45, percentAlone: false, directions: [1] as const }
  await tell('session/good-enough', { axisId, ...wish, source: 'stopwatch' })
  const before = (await ask<AxisAnswer>(`axis?id=${axisId}`)).session!
  expect(before).toMatchObject({
    next: { dial: 2, direction: 1 },
    goodEnough: { ...{ withinPercent: 45, reached: false, worst: null }, outOfReach: [] },
  })
  expect(before.goodEnough!.sentences[1]).toMatch(/not been measured/)
  expect(before.minutesLeft).toBeGreaterThan(0)

  const axis = store.axes.byId(axisId)
  const session = GuidedSession.openUntilGoodEnough(
    store,
    axis,
    { goodEnough: wish, source: 'stopwatch', fresh: false },
    AT,
  )
  expect(session.resumed).toBe(true)
  for (let step = session.next(), made = 0; step !== null; step = session.next(), made += 1) {
    expect(made).toBeLessThan(20)
    const entry = {
      distanceMm: 40 * step.dial,
      durationS: 60 + (made % 3) / 10,
      direction: step.direction,
      marks: null,
    }
    const take = { dial: step.dial, origin: 'test', entry, note: null }
    const conditions = session.conditions(step, { dialReset: true, tags: {}, note: null, startedAt: AT })
    session.settle(step, recordStopwatchTakes(store, axis, [take], conditions)[0]!, AT)
  }
  const after = (await ask<AxisAnswer>(`axis?id=${axisId}`)).session!
  expect(after).toMatchObject({ next: null, minutesLeft: 0, goodEnough: { reached: true, runs: 0 } })
  expect(after.steps.every(({ done }) => done)).toBe(true)
  await tell('fit', { axisId })
  const fitted = await ask<AxisAnswer>(`axis?id=${axisId}`)
  expect(fitted.session).toBeNull()

  // The first answer that a page gets names the ways as every later one does, though it is asked for no axis.
  expect(JSON.stringify(fitted.tables)).toContain('direction + (left)')
  expect((await ask<StartAnswer>('start')).shown!.answer.tables).toEqual(fitted.tables)
})
