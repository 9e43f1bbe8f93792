import { StoreError } from '../../errors/index.js'
import { MIGRATIONS, type Migration } from '../migrations/index.js'
import { APPLICATION_ID } from './application-id.js'
import type { Connection } from './connection.js'
import { keepCopy } from './copy-database.js'
import { storeNewer } from './store-errors.js'

/**
 * Brings a database to the newest schema, each numbered step in one immediate transaction, so that a step that fails
 * leaves the store as it was. A store that already holds something is copied first, to `PATH.before-vN` or,
 * where that is there, to the next name with a number.
 *
 * @param migrations the steps from empty; step n leaves `user_version` n
 * @throws StoreError `store-newer`, `store-damaged` where links or pages do not agree afterwards
 */
export function migrate(connection: Connection, migrations: readonly Migration[] = MIGRATIONS): void {
  const started = userVersion(connection)
  if (started > migrations.length) throw storeNewer(connection.path, started, migrations.length)
  if (started === migrations.length) return
  const linksBefore = started > 0 ? brokenLinks(connection) : 0
  const before = started > 0 ? keepCopy(connection, `${connection.path}.before-v${migrations.length}`) : null
  for (const [index, step] of migrations.entries()) {
    connection.write(() => {
      // Read again inside: another program may have done this step while we waited for the lock.
      if (userVersion(connection) > index) return
      if (typeof step === 'string') connection.database.exec(step)
      else step(connection)
      connection.database.pragma(`application_id = ${APPLICATION_ID}`)
      connection.database.pragma(`user_version = ${index + 1}`)
    })
  }
  if (before !== null) refuseUnsound(connection, { version: migrations.length, linksBefore, before })
}

/** How many of the steps were made. @throws StoreError as the connection does */
export function userVersion(connection: Connection): number {
  return Number(connection.guard(() => connection.database.pragma('user_version', { simple: true })))
}

/** Rows that point at one that is not there. */
function brokenLinks(connection: Connection): number {
  return connection.all('PRAGMA foreign_key_check').length
}

/** A row that was damaged before is told where it is read; the rest of the store serves on. */
function refuseUnsound(
  connection: Connection,
  { version, linksBefore, before }: { version: number; linksBefore: number; before: string },
): void {
  if (brokenLinks(connection) <= linksBefore && connection.pageProblems(null, 1).length === 0) return
  throw new StoreError(
    'store-damaged',
    `The store ${connection.path} is not sound after bringing it to version ${version}.`,
    `The store as it was lies in ${before}; please report this.`,
  )
}
