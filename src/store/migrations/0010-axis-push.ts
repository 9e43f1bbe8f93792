import type { Connection } from '../file/connection.js'

/**
 * How hard the feed drive of an axis pushes, N; NULL where it was not told. Older rows have NULL, so that their checksums
 * stay valid.
 */
const COLUMN = /* sql */ `
ALTER TABLE axis ADD COLUMN push_n REAL CHECK (push_n > 0 AND push_n < 1e308);
`

export function addAxisPush(connection: Connection): void {
  // A new column makes SQLite try the conditions of every row, and one that is damaged would stop the migration.
  connection.database.pragma('ignore_check_constraints = ON')
  try {
    connection.database.exec(COLUMN)
  } finally {
    connection.database.pragma('ignore_check_constraints = OFF')
  }
}
