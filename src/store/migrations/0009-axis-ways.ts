import type { Connection } from '../file/connection.js'

/**
 * Which way the table goes in + and in −, in the user's own words: both, or NULL where it was not told; older rows have
 * NULL, so that their checksums stay valid.
 */
const COLUMNS = /* sql */ `
ALTER TABLE axis ADD COLUMN plus_way TEXT CHECK (length(plus_way) > 0);
ALTER TABLE axis ADD COLUMN minus_way TEXT CHECK (length(minus_way) > 0);
`

export function addAxisWays(connection: Connection): void {
  // A new column makes SQLite try the conditions of every row, and one that is damaged would stop the migration.
  connection.database.pragma('ignore_check_constraints = ON')
  try {
    connection.database.exec(COLUMNS)
  } finally {
    connection.database.pragma('ignore_check_constraints = OFF')
  }
}
