import type { ClockAgreement } from '../../ingest/index.js'
import type { StopwatchRecord } from '../../store/index.js'

/** What a stopwatch entry keeps beside distance and time. */
export interface StopwatchMarks {
  /** Marks pressed along the way, s after the start. */
  readonly atS: readonly number[]
  /** Distance from mark to mark, mm, where it was said. */
  readonly everyMm: number | null
  /** How well the clock of the phone agreed with this computer's; absent for presses stamped here. */
  readonly clock?: ClockAgreement
}

/** What is known of the clock that stamped an entry; null where it was this computer's own. */
export function stopwatchClock(entry: StopwatchRecord): ClockAgreement | null {
  // Written as StopwatchMarks, or null where there was nothing to keep.
  return (entry.marks as StopwatchMarks | null)?.clock ?? null
}
