import type { Connection } from './file/connection.js'
import { recordingPieces } from './recording-lines.js'

/**
 * An earlier recording of the same axis and setting that holds the very same lines, or the very same stopwatch entry:
 * most likely one run read in twice, which would count as two. Null where there is none.
 */
export function twinOf(connection: Connection, recordingId: string): string | null {
  const [first] = recordingPieces(connection, recordingId)
  return first === undefined ? entryTwin(connection, recordingId) : linesTwin(connection, recordingId, first)
}

function linesTwin(connection: Connection, recordingId: string, firstPiece: string): string | null {
  // The length is known without reading the text, so that long texts are compared only where they may be the same.
  const candidates = connection.all<{ id: string }>(
    `SELECT other.id FROM recording AS mine
      JOIN recording AS other ON other.axis_id = mine.axis_id AND other.id < mine.id
        AND other.dial IS mine.dial AND other.rapid = mine.rapid
      JOIN recording_piece AS piece ON piece.recording_id = other.id AND piece.sequence = 0
      WHERE mine.id = ? AND octet_length(piece.lines) = octet_length(?) AND piece.lines = ?`,
    recordingId,
    firstPiece,
    firstPiece,
  )
  const whole = (id: string) => [...recordingPieces(connection, id)].join('')
  // A long recording is read whole only where there is something to compare it with.
  const mine = candidates.length === 0 ? null : whole(recordingId)
  return candidates.find(({ id }) => whole(id) === mine)?.id ?? null
}

function entryTwin(connection: Connection, recordingId: string): string | null {
  const twin = connection.get<{ id: string }>(
    `SELECT other.id FROM recording AS mine JOIN stopwatch_entry AS entry ON entry.recording_id = mine.id
      JOIN recording AS other ON other.axis_id = mine.axis_id AND other.id < mine.id
        AND other.dial IS mine.dial AND other.rapid = mine.rapid
      JOIN stopwatch_entry AS before ON before.recording_id = other.id AND before.direction = entry.direction
        AND before.distance_mm = entry.distance_mm AND before.duration_s = entry.duration_s
      WHERE mine.id = ? ORDER BY other.id LIMIT 1`,
    recordingId,
  )
  return twin?.id ?? null
}
