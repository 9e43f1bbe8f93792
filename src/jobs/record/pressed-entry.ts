import type { ClockAgreement } from '../../ingest/index.js'
import type { StopwatchRecord } from '../../store/index.js'
import type { Direction } from '../../traverse/index.js'
import type { StopwatchMarks } from './stopwatch-marks.js'
import { timedEntry, timedMarks } from './timed-entry.js'

/** A traverse timed from line to line, with presses at lines on the way. */
export interface PressedTraverse {
  readonly dial: number | 'rapid'
  readonly direction: Direction
  /** From the first press to the last. */
  readonly distanceMm: number
  readonly durationS: number
  /** Presses on the way, s after the first, rising. */
  readonly marksS: readonly number[]
  /** Distance from line to line, mm; null where it was not said. */
  readonly everyMm: number | null
  /** How well the clock of the phone agreed with this computer's; left out for presses stamped here. */
  readonly clock?: ClockAgreement | null
}

/** How far a sum of equal distances may be off, mm. Judgement: rounding of the sum, far below any line. */
const ROUNDING_MM = 1e-6

/** Whether the presses on the way lie between the first line and the last one. */
export function marksFit({ distanceMm, marksS, everyMm }: PressedTraverse): boolean {
  return everyMm !== null && everyMm > 0 && marksS.length * everyMm < distanceMm - ROUNDING_MM
}

/**
 * The entry that the store keeps. Where the lines between are known, every press is a timed reading, so that the feed is
 * that of a line through all of them; otherwise the first and the last press tell it, and the others are only kept.
 */
export function pressedEntry(pressed: PressedTraverse): StopwatchRecord {
  const { dial, direction, distanceMm, durationS, marksS, everyMm } = pressed
  const clock = pressed.clock == null ? {} : { clock: pressed.clock }
  if (marksS.length > 0 && everyMm !== null && marksFit(pressed)) {
    const between = marksS.map((timeS, index) => ({
      timeS,
      positionMm: direction * (index + 1) * everyMm,
    }))
    const last = { timeS: durationS, positionMm: direction * distanceMm }
    const readings = [{ timeS: 0, positionMm: 0 }, ...between, last]
    // Stamped by the press itself, so no digit of the time is lost; a line has no digits.
    const run = { dial, direction, readings, timeLastDigitS: 0, positionLastDigitMm: 0, note: '' }
    const entry = timedEntry(run)
    return { ...entry, marks: { ...timedMarks(entry)!, ...clock } }
  }
  const nothing = marksS.length === 0 && pressed.clock == null
  const marks: StopwatchMarks | null = nothing ? null : { atS: marksS, everyMm, ...clock }
  return { distanceMm, durationS, direction, marks }
}
