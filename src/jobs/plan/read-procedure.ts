import { readFile } from 'node:fs/promises'
import { FileError, UsageError } from '../../errors/index.js'
import type { Procedure } from '../../planning/index.js'
import { builtInProcedure, parseProcedure } from '../../planning/procedures/index.js'

/**
 * A procedure by its name, or from a JSON file when the text looks like a path.
 *
 * @throws UsageError `unknown-procedure`, `bad-procedure`; FileError `procedure-unreadable`
 */
export async function findProcedure(nameOrPath: string): Promise<Procedure> {
  if (!/[\\/]|\.json$/i.test(nameOrPath)) return builtInProcedure(nameOrPath)
  return parseProcedure(asJson(await readText(nameOrPath), nameOrPath), nameOrPath)
}

async function readText(path: string): Promise<string> {
  try {
    return await readFile(path, 'utf8')
  } catch (cause) {
    throw new FileError(
      'procedure-unreadable',
      `The procedure file ${path} cannot be read.`,
      'Check the path and that the file may be read.',
      { cause },
    )
  }
}

function asJson(text: string, path: string): unknown {
  try {
    return JSON.parse(text)
  } catch (cause) {
    throw new UsageError(
      'bad-procedure',
      `${path} is not JSON: ${cause instanceof Error ? cause.message : String(cause)}.`,
      'Compare it with the files in calibration/procedures.',
      { cause },
    )
  }
}
