import { join } from 'node:path'
import { onTestFinished } from 'vitest'
import { addSimulatedMill, fitTables, simulatedCalibration } from '../../src/jobs/index.js'
import { servePage } from '../../src/page/index.js'
import { builtInProcedure } from '../../src/planning/procedures/index.js'
import { QUILLFEN_MILL } from '../../src/simulation/index.js'
import { openStore } from '../../src/store/index.js'
import type { ServedStore } from './browser.js'
import { madeOnce } from './made-once.js'

/** A few marks are enough to look at: each takes its time to travel and to fit. */
const MILL = { ...QUILLFEN_MILL, marks: [2, 5, 8] }

const copy = madeOnce(make, 'simulated-mill')

/** A simulated mill, calibrated by readout with a quick procedure and fitted, with its store served within this process. */
export async function servedSimulatedMill(): Promise<ServedStore & { readonly path: string }> {
  const { folder, made: axisId } = await copy()
  const path = join(folder, 'store.db')
  const store = openStore(path, { mode: 'write' })
  const served = await servePage(store, { port: 0, host: null })
  onTestFinished(async () => {
    await served.close()
    store.close()
  })
  return { store, axisId, served, path }
}

async function make(folder: string): Promise<number> {
  const store = openStore(join(folder, 'store.db'), { mode: 'write' })
  try {
    const at = new Date().toISOString()
    const { axis } = addSimulatedMill(store, MILL, at)
    // Twice: a bound on the coast of a setting takes three of them.
    for (const seed of [1, 100_001]) {
      const session = { seed, startedAt: at }
      const runs = simulatedCalibration(store, axis, MILL, builtInProcedure('quick'), session)
      for await (const _ of runs);
    }
    fitTables(store, axis, { filter: {}, reason: null, fittedAt: at })
    return axis.id
  } finally {
    store.close()
  }
}
