import { readFile } from 'node:fs/promises'
import { join } from 'node:path'
import { calibrationFolder } from '../../ingest/index.js'

/** When cautions are shown. */
export type Occasion = 'beforeTraverse' | 'beforeCut' | 'beforeStops'

/** The cautions for an occasion, from `calibration/cautions.json`. */
export async function cautionsFor(occasion: Occasion): Promise<readonly string[]> {
  const file = JSON.parse(await readFile(join(calibrationFolder(), 'cautions.json'), 'utf8')) as Record<
    Occasion,
    readonly string[]
  >
  return file[occasion]
}
