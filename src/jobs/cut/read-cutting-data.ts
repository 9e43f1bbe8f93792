import { existsSync } from 'node:fs'
import { join } from 'node:path'
import { UsageError } from '../../errors/index.js'
import { calibrationFolder, readGivenText } from '../../ingest/index.js'
import { type MaterialData, parseCuttingData, withOwnMaterials } from '../../planning/cut/index.js'

const FILE_NAME = 'cutting-data.json'

/** Starting values for milling, and where the user's own rows are kept. */
export interface CuttingData {
  readonly materials: readonly MaterialData[]
  /** The user's own file, whether it is there or not. */
  readonly ownFile: string
  readonly hasOwn: boolean
}

/**
 * The starting values that come with the program, with the user's own file laid over them.
 *
 * @throws UsageError `bad-cutting-data` naming file and field; FileError `cutting-data-unreadable`
 */
export async function readCuttingData(): Promise<CuttingData> {
  const { default: envPaths } = await import('env-paths')
  const ownFile = join(envPaths('tablepace', { suffix: '' }).data, FILE_NAME)
  const builtIn = await readMaterials(join(calibrationFolder(), FILE_NAME))
  const own = await readMaterials(ownFile, true)
  return {
    materials: withOwnMaterials(builtIn ?? [], own ?? []),
    ownFile,
    hasOwn: own !== null,
  }
}

async function readMaterials(path: string, mayBeMissing = false): Promise<MaterialData[] | null> {
  if (mayBeMissing && !existsSync(path)) return null
  const text = readGivenText(path, {
    code: 'cutting-data-unreadable',
    message: `The starting values in ${path} cannot be read.`,
    hint: 'Check that the file is there and may be read.',
  })
  let content: unknown
  try {
    content = JSON.parse(text)
  } catch (cause) {
    throw new UsageError(
      'bad-cutting-data',
      `${path} is not JSON: ${cause instanceof Error ? cause.message : String(cause)}.`,
      'Compare it with calibration/cutting-data.json.',
      { cause },
    )
  }
  return parseCuttingData(content, path)
}
