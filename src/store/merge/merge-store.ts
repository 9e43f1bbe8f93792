import { mkdtempSync, rmSync } from 'node:fs'
import { tmpdir } from 'node:os'
import { join } from 'node:path'
import { checkIntegrity } from '../damage/integrity.js'
import type { Connection } from '../file/connection.js'
import { copyStore } from '../file/copy-store.js'
import { openForReading } from '../file/open-database.js'
import { storeDamaged } from '../file/store-errors.js'
import { Tables } from '../tables/tables.js'
import { mergeChanges } from './merge-changes.js'
import { mergeCutNotes } from './merge-cut-notes.js'
import { mergePlaces } from './merge-places.js'
import { mergePractice } from './merge-practice.js'
import { mergeRecordings } from './merge-recordings.js'
import { emptyReport, type MergeReport } from './merge-report.js'
import { mergeRuns } from './merge-runs.js'
import { mergeTables } from './merge-tables.js'

/** How long to wait for another program, ms; nobody else knows the copy (judgement). */
const BUSY_TIMEOUT_MS = 1000

/**
 * Takes in everything another store holds that this one does not: machines and axes by name, recordings and runs by
 * their id, tables by direction, hash and date, rechecks, exercises in timing, and the changes to runs. All of it or, on any error, nothing.
 * Nothing here is overwritten: what both hold differently is a conflict, told and kept as it was here, except a run's
 * standing (dropped, taken back, judged again), where the later change counts, as it would have in one store. So it
 * does not matter which store takes in the other, or how often. The other store stays as it is.
 *
 * @throws StoreError where the other file is not a store of ours or cannot be read; FileError `file-not-written`
 */
export function mergeStore(connection: Connection, otherPath: string): MergeReport {
  const folder = mkdtempSync(join(tmpdir(), 'tablepace-merge-'))
  try {
    const copy = join(folder, 'other.db')
    // In a folder of its own and in today's schema, so that the other store is neither changed nor watched meanwhile.
    copyStore(otherPath, copy)
    refuseDamaged(otherPath, copy)
    connection.run('ATTACH DATABASE ? AS other', copy)
    try {
      return connection.write(() => merged(connection))
    } finally {
      connection.run('DETACH DATABASE other')
    }
  } finally {
    rmSync(folder, { recursive: true, force: true })
  }
}

/** @throws StoreError `store-damaged` naming the other store */
function refuseDamaged(otherPath: string, copy: string): void {
  const { connection, close } = openForReading(copy, BUSY_TIMEOUT_MS)
  try {
    const [first] = checkIntegrity(connection, new Tables(connection)).problems
    if (first === undefined) return
    const what = first.replace(`The store ${copy} is damaged: `, '').replace(/\.$/, '')
    throw storeDamaged(otherPath, `nothing of it was brought in, because ${what}`)
  } finally {
    close()
  }
}

function merged(connection: Connection): MergeReport {
  const report = emptyReport()
  const places = mergePlaces(connection, report)
  mergeRecordings(connection, places, report)
  mergeRuns(connection, places, report)
  mergeTables(connection, places, report)
  mergeChanges(connection, places)
  mergePractice(connection, report)
  mergeCutNotes(connection, places, report)
  return report
}
