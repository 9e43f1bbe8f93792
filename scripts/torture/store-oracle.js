import Database from 'better-sqlite3'

/** What is wrong with a store, seen by SQLite alone; empty where it is sound. */
export function soundness(store) {
  return reading(store, (database) => {
    const pages = database.pragma('integrity_check').map((row) => row.integrity_check)
    const links = database.pragma('foreign_key_check')
    const halfFits = database
      .prepare(
        `SELECT fit.id FROM fit LEFT JOIN table_version ON table_version.fit_id = fit.id
          GROUP BY fit.id HAVING count(table_version.id) <> 2`,
      )
      .all()
    return [
      ...pages.filter((line) => line !== 'ok'),
      ...links.map((row) => `row ${row.rowid} of ${row.table} points nowhere`),
      ...halfFits.map((row) => `fit ${row.id} is not whole`),
    ]
  })
}

/** The texts of the lines of the newest recording from this origin; null where there is none. */
export function newestLines(store, origin) {
  return reading(store, (database) => {
    const recording = database
      .prepare('SELECT id FROM recording WHERE origin = ? ORDER BY id DESC LIMIT 1')
      .get(origin)
    if (recording === undefined) return null
    return database
      .prepare('SELECT lines FROM recording_piece WHERE recording_id = ? ORDER BY sequence')
      .all(recording.id)
      .flatMap(({ lines }) => lines.trimEnd().split('\n'))
      .map((line) => JSON.parse(line).line)
  })
}

function reading(store, work) {
  const database = new Database(store)
  try {
    return work(database)
  } finally {
    database.close()
  }
}
