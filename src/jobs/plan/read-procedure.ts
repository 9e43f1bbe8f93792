import { UsageError } from '../../errors/index.js'
import { readGivenText } from '../../ingest/index.js'
import type { Procedure } from '../../planning/index.js'
import { builtInProcedure, parseProcedure } from '../../planning/procedures/index.js'

/**
 * A procedure by its name, or from a JSON file when the text looks like a path.
 *
 * @throws UsageError `unknown-procedure`, `bad-procedure`; FileError `procedure-unreadable`
 */
export async function findProcedure(nameOrPath: string): Promise<Procedure> {
  if (!/[\\/]|\.json$/i.test(nameOrPath)) return builtInProcedure(nameOrPath)
  return parseProcedure(asJson(readText(nameOrPath), nameOrPath), nameOrPath)
}

function readText(path: string): string {
  return readGivenText(path, {
    code: 'procedure-unreadable',
    message: `The procedure file ${path} cannot be read.`,
    hint: 'Check the path and that the file may be read.',
  })
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
