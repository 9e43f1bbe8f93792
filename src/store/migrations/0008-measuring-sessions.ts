import type { Connection } from '../file/connection.js'

/**
 * Which session, such as a day, a recording was made in: by the name that was given, else by its date. In older rows
 * NULL; there the date of the recording says it. And whether it is a check run, which tells how the machine feeds in that
 * session and never makes a mark: 1, else NULL, so that the checksums of older rows stay valid.
 */
const COLUMNS = /* sql */ `
ALTER TABLE recording ADD COLUMN session_name TEXT CHECK (length(session_name) > 0);
ALTER TABLE recording ADD COLUMN check_run INTEGER CHECK (check_run = 1);
CREATE TRIGGER recording_session_stays BEFORE UPDATE OF session_name, check_run ON recording
BEGIN SELECT raise(ABORT, 'a recording never changes'); END;
`

export function addMeasuringSessions(connection: Connection): void {
  // A new column makes SQLite try the conditions of every row, and one that is damaged would stop the migration.
  connection.database.pragma('ignore_check_constraints = ON')
  try {
    connection.database.exec(COLUMNS)
  } finally {
    connection.database.pragma('ignore_check_constraints = OFF')
  }
}
