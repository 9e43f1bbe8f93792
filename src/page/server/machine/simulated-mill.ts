import { addSimulatedMill, findProcedure, fitTables, simulatedCalibration } from '../../../jobs/index.js'
import { QUILLFEN_MILL } from '../../../simulation/index.js'
import type { Axis, Store } from '../../../store/index.js'

/** The seed of the simulated runs: everybody who tries it sees the same (judgement: any number would do). */
const SEED = 1

/** The axis of the simulated mill, calibrated and fitted; the one that is there already where it was tried before. */
export async function simulatedAxis(store: Store, nowIso: string): Promise<Axis> {
  const known = store.machines.list().find(({ name }) => name === QUILLFEN_MILL.name)
  const [there] = known === undefined ? [] : store.axes.list(known.id)
  if (there !== undefined) return there
  const { axis } = addSimulatedMill(store, QUILLFEN_MILL, nowIso)
  const procedure = await findProcedure('quick')
  const runs = simulatedCalibration(store, axis, QUILLFEN_MILL, procedure, { seed: SEED, startedAt: nowIso })
  for await (const _ of runs);
  fitTables(store, axis, { filter: {}, reason: 'simulated', fittedAt: nowIso })
  return axis
}
