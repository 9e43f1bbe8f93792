/** A stretch of one column of a sheet. */
export interface SheetColumn {
  readonly sheet: string
  readonly letter: string
  readonly firstRow: number
  readonly lastRow: number
}

/** The lowest and highest value that is answered. */
export interface SheetLimits {
  readonly low: number
  readonly high: number
}

/**
 * A formula (without `=`) that reads `wanted` off a rising column by straight lines between its rows, from another
 * column; the text `outside` where `wanted` lies outside, or the cell is no number. Only functions that every
 * spreadsheet has (OpenFormula small group).
 */
export function interpolated(
  asked: string,
  from: SheetColumn,
  to: SheetColumn,
  outside: string,
  limits?: SheetLimits,
): string {
  // Beyond an end but within the limits the end answers.
  const wanted = limits ? `MAX(MIN(${asked},MAX(${range(from)})),MIN(${range(from)}))` : asked
  const last = from.lastRow - from.firstRow
  if (last === 0) return exactText(asked, from, to, outside)
  const place = `MIN(MATCH(${wanted},${range(from)},1),${last})`
  const at = (column: SheetColumn, offset: number) =>
    `INDEX(${range(column)},${place}${offset === 0 ? '' : `+${offset}`})`
  const run = `(${at(from, 1)}-${at(from, 0)})`
  const straight = `${at(to, 0)}+(${wanted}-${at(from, 0)})*(${at(to, 1)}-${at(to, 0)})/${run}`
  return ifInside(asked, limits ?? from, outside, `IF(${run}=0,${at(to, 1)},${straight})`)
}

/** The row whose own value is nearest: `starts` holds the lowest value for which each row is the nearest. */
export function nearest(
  wanted: string,
  starts: SheetColumn,
  own: SheetColumn,
  to: SheetColumn,
  outside: string,
  limits?: SheetLimits,
): string {
  return ifInside(wanted, limits ?? own, outside, `INDEX(${range(to)},MATCH(${wanted},${range(starts)},1))`)
}

/** The row whose value is exactly the wanted one, else the text. */
export function exactText(wanted: string, from: SheetColumn, to: SheetColumn, otherwise: string): string {
  return `IF(ISNUMBER(MATCH(${wanted},${range(from)},0)),INDEX(${range(to)},MATCH(${wanted},${range(from)},0)),"${otherwise}")`
}

function ifInside(
  wanted: string,
  within: SheetColumn | SheetLimits,
  outside: string,
  answer: string,
): string {
  const [low, high] =
    'low' in within ? [within.low, within.high] : [`MIN(${range(within)})`, `MAX(${range(within)})`]
  const isOutside = `OR(${wanted}<${low},${wanted}>${high})`
  return `IF(ISNUMBER(${wanted}),IF(${isOutside},"${outside}",${answer}),"${outside}")`
}

function range({ sheet, letter, firstRow, lastRow }: SheetColumn): string {
  return `${sheet}!$${letter}$${firstRow}:$${letter}$${lastRow}`
}
