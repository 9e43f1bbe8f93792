/** What a change of an axis must not make of what was measured on it. */

import { sentence, UsageError, way } from '../../errors/index.js'
import { hasLetter, type MachineUnit } from '../../units/index.js'
import type { Connection } from '../file/connection.js'
import type { Axis } from './machine-types.js'

/**
 * What was measured in mm can be degrees, number for number; inches cannot.
 *
 * @param unit of the machine
 * @throws UsageError `axis-measured`
 */
export function refuseMeasuredInches(connection: Connection, { id, name }: Axis, unit: MachineUnit): void {
  if (unit === 'mm') return
  if (connection.get('SELECT 1 FROM recording WHERE axis_id = ? LIMIT 1', id) === undefined) return
  throw new UsageError(
    'axis-measured',
    `Axis ${name} has been measured: inches cannot become degrees, nor degrees inches.`,
    sentence`Add another axis${way('add-axis')}.`,
  )
}

/**
 * Numbers become letters only where each that was measured has a letter, and nothing was measured between them.
 *
 * @throws UsageError `bad-axis`
 */
export function refuseOldNumbers(connection: Connection, { id, name }: Axis): void {
  const dials = connection.all<{ dial: number }>(
    `SELECT DISTINCT run.dial FROM run JOIN recording ON recording.id = recording_id
      WHERE axis_id = ? AND run.dial IS NOT NULL ORDER BY run.dial`,
    id,
  )
  const between = dials.find(({ dial }) => !hasLetter(dial))
  const curves = connection.all(`SELECT 1 FROM table_version WHERE axis_id = ? AND stepped = 0 LIMIT 1`, id)
  if (between === undefined && curves.length === 0) return
  throw new UsageError(
    'bad-axis',
    between === undefined
      ? `Axis ${name} has tables with feeds between its numbers, and nothing lies between letters.`
      : `Axis ${name} has runs at ${between.dial}, which stands for no letter (A is 1, B is 2).`,
    'Keep the numbers, or add another axis for the letters.',
  )
}
