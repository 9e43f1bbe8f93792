import type { Connection } from '../file/connection.js'
import { insertRow, type Places, type Row } from './merge-places.js'
import type { MergeReport } from './merge-report.js'

interface NoteRow extends Row {
  id: number
  machine_id: number
}

/** What was noted after cuts, each note once. */
export function mergeCutNotes(connection: Connection, { machines }: Places, report: MergeReport): void {
  for (const note of connection.all<NoteRow>('SELECT * FROM other.cut_note ORDER BY at, id')) {
    const machineId = machines.get(note.machine_id)
    if (machineId === undefined) continue
    const here = connection.get(
      `SELECT id FROM main.cut_note WHERE machine_id = ? AND at = ? AND kind = ? AND material = ?
        AND outcome = ? AND note = ? AND rpm = ? AND feed_mm_per_min = ?`,
      machineId,
      ...[note.at, note.kind, note.material, note.outcome, note.note, note.rpm, note.feed_mm_per_min].map(
        (value) => value ?? null,
      ),
    )
    if (here !== undefined) continue
    insertRow(connection, 'cut_note', { ...note, machine_id: machineId })
    report.cutNotes++
  }
}
