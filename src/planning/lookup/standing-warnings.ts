import type { FeedTable, TableWarning } from '../../regression/index.js'
import { orderWarnings } from '../../regression/order-warnings.js'
import { foundTrend, likelyTrend } from '../../regression/scatter/dial-trend.js'

/** Code of the warning on a table that a recheck found moved. */
export const TABLE_MOVED = 'table-moved'
/** Code of the warning on a table whose other direction a recheck found moved, and which was not looked at itself. */
export const OTHER_DIRECTION_MOVED = 'other-direction-moved'

/** What a recheck found against a table, apart from its other warnings: that stands above everything read off it. */
export function apartFromMove(warnings: readonly TableWarning[]): {
  readonly moved: readonly TableWarning[]
  readonly others: readonly TableWarning[]
} {
  const isMove = ({ code }: TableWarning): boolean => code === TABLE_MOVED
  return { moved: warnings.filter(isMove), others: warnings.filter((warning) => !isMove(warning)) }
}

/** Warnings that change what an answer is worth, and so stand beside every one. */
const STANDING: readonly string[] = [
  'order-broken',
  'order-unclear',
  'odd-run',
  TABLE_MOVED,
  OTHER_DIRECTION_MOVED,
  'scatter-assumed',
]

/**
 * The warnings of a table that every answer from it repeats for as long as it is the table: marks that break the order
 * of the dial, odd runs, and a recheck that found it moved. Of a table whose fit did not look for it, or that came in a file, the order is looked at
 * here.
 *
 * @param dial of a lookup: odd runs are told where they stand at the marks that the answer rests on; all where left out
 */
export function standingWarnings(
  table: Pick<FeedTable, 'marks' | 'stepped' | 'lettered' | 'warnings'>,
  dial?: number,
): readonly TableWarning[] {
  const told = (table.warnings ?? []).filter(
    (warning) => STANDING.includes(warning.code) && concerns(warning, table.marks, dial),
  )
  if (told.some((warning) => warning.code.startsWith('order-'))) return told
  const trend = foundTrend([table.marks], likelyTrend([table.marks]))
  // Where one direction alone does not tell which way the dial goes, both together may have told the fit.
  return trend === 'unclear' ? told : [...orderWarnings(table.marks, trend, table), ...told]
}

/** Whether a warning is about the mark at a dial, or about those on either side of it. */
function concerns({ code, dials }: TableWarning, marks: FeedTable['marks'], dial?: number): boolean {
  if (code !== 'odd-run' || dial === undefined || dials === undefined) return true
  const places = marks.map((mark) => mark.dial)
  const below = Math.max(...places.filter((place) => place <= dial))
  const above = Math.min(...places.filter((place) => place >= dial))
  return dials.some((place) => place === below || place === above)
}
