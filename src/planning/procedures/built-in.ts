import quick from '../../../calibration/procedures/quick.json' with { type: 'json' }
import standard from '../../../calibration/procedures/standard.json' with { type: 'json' }
import stopwatch from '../../../calibration/procedures/stopwatch.json' with { type: 'json' }
import { sentence, UsageError, way } from '../../errors/index.js'
import type { Procedure } from '../session/session-plan.js'
import { parseProcedure } from './procedure-schema.js'

const FILES: readonly unknown[] = [standard, quick, stopwatch]

/** Names of the procedures that come with the program, the usual one first. */
export function builtInProcedureNames(): string[] {
  return builtIn().map((procedure) => procedure.name)
}

/** @throws UsageError `unknown-procedure` naming the known ones */
export function builtInProcedure(name: string): Procedure {
  const found = builtIn().find((procedure) => procedure.name === name)
  if (found !== undefined) return found
  throw new UsageError(
    'unknown-procedure',
    `There is no procedure called ${name}; there are ${builtInProcedureNames().join(', ')}.`,
    sentence`Name one of them${way('procedure')}.`,
  )
}

function builtIn(): Procedure[] {
  return FILES.map((file) => parseProcedure(file, 'A procedure of the program'))
}
