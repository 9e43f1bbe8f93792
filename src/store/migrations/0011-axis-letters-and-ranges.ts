import type { Connection } from '../file/connection.js'

/**
 * `lettered` is 1 where the dial carries letters, kept as numbers, A = 1; NULL where it carries numbers. `range_of` and
 * `range_name` tell that the axis is one range of a dial that has several, such as HI of X: both, or NULL. Older rows
 * have NULL, so that their checksums stay valid.
 */
const COLUMNS = /* sql */ `
ALTER TABLE axis ADD COLUMN lettered INTEGER CHECK (lettered = 1);
ALTER TABLE axis ADD COLUMN range_of TEXT CHECK (length(range_of) > 0);
ALTER TABLE axis ADD COLUMN range_name TEXT CHECK (length(range_name) > 0);
`

export function addAxisLettersAndRanges(connection: Connection): void {
  // A new column makes SQLite try the conditions of every row, and one that is damaged would stop the migration.
  connection.database.pragma('ignore_check_constraints = ON')
  try {
    connection.database.exec(COLUMNS)
  } finally {
    connection.database.pragma('ignore_check_constraints = OFF')
  }
}
