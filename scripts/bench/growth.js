import { copyFileSync } from 'node:fs'
import Database from 'better-sqlite3'
import { bundled } from '../bundled.js'

const { rowChecksum } = await bundled("export { rowChecksum } from './src/store/file/checksum.js'")

const MACHINES = 100
const RUNS = 200_000

/**
 * A copy of a store grown to a workshop's many years: a hundred machines and 200,000 runs, every one with a recording,
 * all cloned from what the store holds. Its first machine, axis and table stay as they are.
 */
export function growStore(from, to) {
  copyFileSync(from, to)
  const database = new Database(to)
  database.pragma('synchronous = OFF')
  database.transaction(() => {
    const run = database.prepare('SELECT * FROM run WHERE accepted = 1 LIMIT 1').get()
    const recording = database.prepare('SELECT * FROM recording WHERE id = ?').get(run.recording_id)
    const machine = database.prepare('SELECT * FROM machine LIMIT 1').get()
    const axis = database.prepare('SELECT * FROM axis LIMIT 1').get()
    const addMachine = inserting(database, 'machine', machine)
    const addAxis = inserting(database, 'axis', axis)
    const addRecording = inserting(database, 'recording', recording)
    const addRun = inserting(database, 'run', run)
    const piece = { recording_id: '', sequence: 0, lines: '{"t":0,"line":"X +0.0000"}\n', checksum: 0 }
    const addPiece = inserting(database, 'recording_piece', piece)
    for (let index = 2; index <= MACHINES; index += 1) {
      addMachine({ ...machine, id: index, name: `Mill ${index}` })
      addAxis({ ...axis, id: index, machine_id: index })
      for (let number = 0; number < RUNS / (MACHINES - 1); number += 1) {
        // Any 26 letters make an id; these sort before those of the runs that the table stands on.
        const id = String(index * 10_000 + number).padStart(26, '0')
        addRecording({ ...recording, id, axis_id: index, session_id: null, step: null })
        addPiece({ ...piece, recording_id: id })
        addRun({ ...run, id, recording_id: id, ordinal: 0, dial: 1 + (number % 10) })
      }
    }
  })()
  const { runs } = database.prepare('SELECT count(*) AS runs FROM run').get()
  database.pragma('wal_checkpoint(TRUNCATE)')
  database.close()
  return runs
}

/** A copy of a store in which each direction of its first axis has this many table versions, all cloned from the last fit. */
export function addTableVersions(from, to, versions) {
  copyFileSync(from, to)
  const database = new Database(to)
  const fit = database.prepare('SELECT * FROM fit ORDER BY id DESC LIMIT 1').get()
  const tables = database.prepare('SELECT * FROM table_version WHERE fit_id = ? ORDER BY id').all(fit.id)
  const runsOf = database.prepare('SELECT * FROM table_run WHERE table_id = ?')
  const addFit = inserting(database, 'fit', fit)
  const addTable = inserting(database, 'table_version', tables[0])
  const addRun = database.prepare('INSERT INTO table_run VALUES (@table_id, @ordinal, @run_id)')
  database.transaction(() => {
    let { id } = tables.at(-1)
    for (let version = tables[0].version + 1; version <= versions; version += 1) {
      const fitId = fit.id + version
      addFit({ ...fit, id: fitId, fitted_at: new Date(Date.parse(fit.fitted_at) + version).toISOString() })
      for (const table of tables) {
        id += 1
        addTable({ ...table, id, fit_id: fitId, version, parent_version: version - 1 })
        for (const run of runsOf.all(table.id)) addRun.run({ ...run, table_id: id })
      }
    }
  })()
  database.pragma('wal_checkpoint(TRUNCATE)')
  database.close()
}

/** Inserts rows as the store does, each with its checksum. */
function inserting(database, table, like) {
  const columns = Object.keys(like)
  const statement = database.prepare(
    `INSERT INTO ${table} (${columns.join(', ')}) VALUES (${columns.map((column) => `@${column}`).join(', ')})`,
  )
  return (row) => statement.run({ ...row, checksum: rowChecksum(table, row) })
}
