import type { Connection } from '../file/connection.js'
import { insertRow, type Row } from './merge-places.js'
import type { MergeReport } from './merge-report.js'

/** How people timed, each exercise once. */
export function mergePractice(connection: Connection, report: MergeReport): void {
  for (const practice of connection.all<Row>(
    `SELECT * FROM other.practice AS there WHERE NOT EXISTS (
      SELECT 1 FROM main.practice AS here
        WHERE here.person = there.person AND here.at = there.at AND here.rounds = there.rounds)
      ORDER BY at, id`,
  )) {
    insertRow(connection, 'practice', practice)
    report.practices++
  }
}
