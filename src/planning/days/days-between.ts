import { learnDays, type SessionShift } from '../../regression/scatter/day-effect.js'
import { moderateDays } from '../../regression/scatter/moderate-days.js'
import type { DaysBetween } from '../recheck/table-feed.js'

/** What is known of the days of a table before new runs are held against it. */
interface DaysBefore {
  /** What each session counts for in the table, summing to 1. */
  readonly shares: ReadonlyMap<string, number>
  /** By how much sessions lie off the table; those of the new runs may stand among them. */
  readonly shifts: readonly SessionShift[]
  /** Sessions of the new runs, or the one that they would be made in. */
  readonly fresh: readonly string[]
  /** The session that runs would be made in now. */
  readonly present: string
}

/**
 * Standard deviation of what may have moved the machine between the table and the new runs, as a logarithm: so wide that
 * the new sessions tell how far days differ by their own differences alone.
 */
const MOVED = 0.5
const MOVE = 'what moved the machine'

/**
 * What lies between the days of a table and those of new runs. Sessions before the new runs teach how far days differ and
 * how the table's own day lay among them, so that the table is held to the mean of its days; the new sessions teach how far
 * days differ among themselves, and nothing of the table, for the machine may have moved before them.
 *
 * A feed that days lose alike at all settings is not among it. Measured with `scripts/proofs/recheck.js --lost`: where that is
 * 0.5 % of the fastest and four days have a check run, a move by exactly 3 % is told as more in 13 of 100 instead of 7.
 */
export function daysBetween({ shares, shifts, fresh, present }: DaysBefore): DaysBetween {
  const isFresh = ({ session }: SessionShift) => fresh.includes(session)
  const inTable = fresh.some((session) => shares.has(session))
  const told = shifts
    // Where the new runs are of a day of the table, that day falls away between the two as it is.
    .filter((shift) => !inTable || !isFresh(shift))
    .map((shift) =>
      isFresh(shift) ? { ...shift, tableErrors: new Map([...shift.tableErrors, [MOVE, MOVED]]) } : shift,
    )
  const { dayRelative, logShift, sizes } = moderateDays(learnDays(told, shares))
  return inTable
    ? {
        ...{ dayRelative, present, logShift: 0, ownDays: shares },
        sizes: sizes.map((size) => ({ ...size, meanOfDays: 0 })),
      }
    : { dayRelative, present, logShift, sizes, ownDays: new Map() }
}
