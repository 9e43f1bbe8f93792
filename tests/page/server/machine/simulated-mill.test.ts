import { join } from 'node:path'
import { expect, onTestFinished, test } from 'vitest'
import type { AxisAnswer } from '../../../../src/page/api.js'
import { servePage } from '../../../../src/page/index.js'
import type { AddedAxis } from '../../../../src/page/machine-api.js'
import { openStore } from '../../../../src/store/index.js'
import { pageApi } from '../../../harness/page-api.js'
import { temporaryFolder } from '../../../harness/program.js'

test('the simulated mill comes with runs and a table, once', async () => {
  const store = openStore(join(temporaryFolder(), 'store.db'), { mode: 'write' })
  const served = await servePage(store, { port: 0, host: null })
  onTestFinished(async () => {
    await served.close()
    store.close()
  })
  const { ask, tell } = pageApi(served)
  const { axisId } = await tell<AddedAxis>('machine/simulate', {})
  const { tables, runs } = await ask<AxisAnswer>(`axis?id=${axisId}`)
  expect(tables.map((table) => table.direction)).toEqual([1, -1])
  expect(runs.length).toBeGreaterThan(20)
  expect(await tell<AddedAxis>('machine/simulate', {})).toEqual({ axisId })
})
