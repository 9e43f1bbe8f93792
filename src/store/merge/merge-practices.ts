import type { Connection } from '../file/connection.js'

/** Timing exercises that are not here yet, known by person and time. */
export function mergePractices(connection: Connection): void {
  connection.run(
    `INSERT INTO main.practice (person, at, rounds)
      SELECT person, at, rounds FROM other.practice AS theirs
      WHERE NOT EXISTS (SELECT 1 FROM main.practice AS ours WHERE ours.person = theirs.person AND ours.at = theirs.at)
      ORDER BY theirs.id`,
  )
}
