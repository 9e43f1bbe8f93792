import type { Connection } from '../file/connection.js'
import type { Places, Row } from './merge-places.js'
import type { MergeReport } from './merge-report.js'

interface RecordingRow extends Row {
  id: string
  axis_id: number
  session_id: number | null
  ended_at: string | null
}

/** Recordings not here yet, and the rest of those that are here shorter. */
export function mergeRecordings(connection: Connection, places: Places, report: MergeReport): void {
  for (const recording of connection.all<RecordingRow>('SELECT * FROM other.recording ORDER BY id')) {
    const axisId = places.axes.get(recording.axis_id)
    if (axisId === undefined) continue
    const here = connection.get<RecordingRow>('SELECT * FROM main.recording WHERE id = ?', recording.id)
    if (here === undefined) {
      const { session_id: session } = recording
      connection.insert('main.recording', {
        ...recording,
        axis_id: axisId,
        session_id: session === null ? null : (places.sessions.get(session) ?? null),
      })
      copyAll(connection, 'recording_piece', recording.id)
      copyAll(connection, 'stopwatch_entry', recording.id)
      report.recordings++
    } else if (samePieces(connection, recording.id)) {
      if (lengthened(connection, recording, here)) report.lengthenedRecordings++
    } else {
      report.conflicts.push({
        code: 'other-lines',
        message: `Recording ${recording.id} has different lines there; those here were kept.`,
      })
    }
  }
}

function copyAll(connection: Connection, table: string, recordingId: string): number {
  return connection.run(
    `INSERT OR IGNORE INTO main.${table} SELECT * FROM other.${table} WHERE recording_id = ?`,
    recordingId,
  ).changes
}

function samePieces(connection: Connection, recordingId: string): boolean {
  const different = connection.get<{ sequence: number }>(
    `SELECT here.sequence FROM main.recording_piece AS here JOIN other.recording_piece AS there
      ON there.recording_id = here.recording_id AND there.sequence = here.sequence
      WHERE here.recording_id = ? AND here.lines <> there.lines LIMIT 1`,
    recordingId,
  )
  return different === undefined
}

function lengthened(connection: Connection, there: RecordingRow, here: RecordingRow): boolean {
  const pieces = copyAll(connection, 'recording_piece', there.id)
  if (here.ended_at === null && there.ended_at !== null) {
    connection.update('main.recording', there.id, { ended_at: there.ended_at })
  }
  return pieces > 0
}
