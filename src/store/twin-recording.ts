import type { Connection } from './file/connection.js'
import { storedLines } from './recording-lines.js'

/**
 * How far arrival times of one recording and its copy may differ beside their shift, s. Derived: each is rounded
 * to the ms.
 */
const TIME_ROUNDING_S = 0.002

/**
 * An earlier readout recording of the same axis and setting that holds the very same lines at the same distances in
 * time, whatever its times count from: one run read in twice, which would count as two. Null where there is
 * none. A recording without a run that counts is none: it may be read again in the right unit or with the right settings.
 */
export function twinOf(connection: Connection, recordingId: string): string | null {
  const candidates = connection.all<{ id: string }>(
    `SELECT other.id FROM recording AS mine
      JOIN recording AS other ON other.axis_id = mine.axis_id AND other.id < mine.id
        AND other.dial IS mine.dial AND other.rapid = mine.rapid
      WHERE mine.id = ? AND mine.source = 'readout' AND other.source = 'readout'
        AND EXISTS (SELECT 1 FROM run WHERE run.recording_id = other.id
          AND run.accepted = 1 AND run.dropped_at IS NULL)
      ORDER BY other.id`,
    recordingId,
  )
  const twin = candidates.find(({ id }) => sameLines(connection, id, recordingId))
  return twin?.id ?? null
}

/** Two recordings that differ do so within a few lines, so that hardly more of them is read. */
function sameLines(connection: Connection, aId: string, bId: string): boolean {
  const b = storedLines(connection, bId)
  let shiftS: number | null = null
  for (const one of storedLines(connection, aId)) {
    const { value: other } = b.next()
    if (other === undefined || one.text !== other.text) return false
    shiftS ??= other.timeS - one.timeS
    if (Math.abs(other.timeS - one.timeS - shiftS) > TIME_ROUNDING_S) return false
  }
  return shiftS !== null && b.next().done === true
}
