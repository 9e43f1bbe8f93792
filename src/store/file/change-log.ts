import type { ChangeEntry } from '../history-types.js'
import type { Connection } from './connection.js'
import { toJson } from './stored-values.js'

/** Notes a change in the transaction that makes it. */
export function logChange(connection: Connection, change: ChangeEntry): void {
  connection.insert('change_log', {
    at: change.at,
    subject: change.subject,
    subject_id: change.subjectId,
    action: change.action,
    before: toJson(change.before, 'the state before the change'),
    after: toJson(change.after, 'the state after the change'),
  })
}
