import type { Connection } from '../file/connection.js'

/**
 * 1 for an axis that turns, which is measured in degrees; NULL for a straight one. Older rows have NULL, so that their
 * checksums stay valid.
 */
const COLUMN = /* sql */ `
ALTER TABLE axis ADD COLUMN rotary INTEGER CHECK (rotary = 1);
`

export function addRotaryAxis(connection: Connection): void {
  // A new column makes SQLite try the conditions of every row, and one that is damaged would stop the migration.
  connection.database.pragma('ignore_check_constraints = ON')
  try {
    connection.database.exec(COLUMN)
  } finally {
    connection.database.pragma('ignore_check_constraints = OFF')
  }
}
