import type { Connection } from '../file/connection.js'
import { insertRow, type Places, type Row } from './merge-places.js'

interface ChangeRow extends Row {
  id: number
  at: string
  subject: 'machine' | 'axis' | 'run'
  subject_id: string
  action: string
  before: string
  after: string
}

/** The changes to runs that came in or were here, and those to machines and axes that are new here; each once. */
export function mergeChanges(connection: Connection, places: Places): void {
  for (const change of connection.all<ChangeRow>('SELECT * FROM other.change_log ORDER BY id')) {
    const subjectId = subjectHere(connection, places, change)
    if (subjectId === null) continue
    const there = connection.get(
      `SELECT id FROM main.change_log
        WHERE subject = ? AND subject_id = ? AND at = ? AND action = ? AND before = ? AND after = ?`,
      change.subject,
      subjectId,
      change.at,
      change.action,
      change.before,
      change.after,
    )
    if (there === undefined) insertRow(connection, 'change_log', { ...change, subject_id: subjectId })
  }
}

function subjectHere(
  connection: Connection,
  { machines, axes, added }: Places,
  { subject, subject_id: subjectId }: ChangeRow,
): string | null {
  if (subject === 'run') {
    return connection.get('SELECT id FROM main.run WHERE id = ?', subjectId) === undefined ? null : subjectId
  }
  const there = Number(subjectId)
  const [ids, fresh] = subject === 'machine' ? [machines, added.machines] : [axes, added.axes]
  const here = ids.get(there)
  // A machine that was here before keeps its own history: what was changed there was not changed here.
  return here === undefined || !fresh.has(there) ? null : String(here)
}
