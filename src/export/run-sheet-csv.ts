import { stringify } from 'csv-stringify/sync'
import type { RunSheet } from '../planning/index.js'
import {
  type DialWriting,
  directionWord,
  fromMm,
  type LengthUnit,
  NUMBERED,
  writeDial,
} from '../units/index.js'

const COLUMNS = ['dial', 'direction', 'distance', 'time', 'note']

/**
 * A blank run sheet as CSV, one traverse a row with the time left empty, in the shape that a sheet of stopwatch entries
 * is read back in. The cautions stand above the traverses, each in a row that holds a note alone and is not read. Directions are words and text is kept from being a formula, because a spreadsheet takes a sign for
 * the begin of one.
 */
export function runSheetCsv(
  { rows }: RunSheet,
  unit: LengthUnit,
  cautions: readonly string[],
  writing: DialWriting = NUMBERED,
): string {
  return stringify(
    [
      ...cautions.map((caution) => ['', '', '', '', `Before you start: ${caution}`]),
      ...rows.map((row) => [
        writeDial(row.dial, writing),
        directionWord(row.direction),
        row.travelMm === null ? '' : `${lengthText(row.travelMm, unit)}${unit}`,
        '',
        '',
      ]),
    ],
    { columns: COLUMNS, header: true, escape_formulas: true },
  )
}

/** A length in the machine's unit without zeros at the end: 6, 6.5. */
export function lengthText(valueMm: number, unit: LengthUnit): string {
  return String(Number(fromMm(valueMm, unit).toFixed(unit === 'in' ? 3 : 2)))
}
