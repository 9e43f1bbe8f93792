import { StoreError } from '../../errors/index.js'
import { MIGRATIONS } from '../migrations/index.js'
import { APPLICATION_ID } from './application-id.js'
import type { Connection } from './connection.js'
import { copyDatabase } from './copy-database.js'
import { storeNewer } from './store-errors.js'

/**
 * Brings a database to the newest schema, each numbered step in one immediate transaction, so that a step that fails
 * leaves the store as it was. A store that already holds something is copied first, to `PATH.before-vN`.
 *
 * @param migrations the steps from empty; step n leaves `user_version` n
 * @throws StoreError `store-newer`, `store-corrupt` where links or pages do not agree afterwards
 */
export function migrate(connection: Connection, migrations: readonly string[] = MIGRATIONS): void {
  const started = userVersion(connection)
  if (started > migrations.length) throw storeNewer(connection.path, started, migrations.length)
  if (started === migrations.length) return
  if (started > 0) {
    copyDatabase(connection, `${connection.path}.before-v${migrations.length}`, { replace: true })
  }
  for (const [index, sql] of migrations.entries()) {
    connection.write(() => {
      // Read again inside: another program may have done this step while we waited for the lock.
      if (userVersion(connection) > index) return
      connection.database.exec(sql)
      connection.database.pragma(`application_id = ${APPLICATION_ID}`)
      connection.database.pragma(`user_version = ${index + 1}`)
    })
  }
  if (started > 0) refuseUnsound(connection, migrations.length)
}

function userVersion(connection: Connection): number {
  return Number(connection.guard(() => connection.database.pragma('user_version', { simple: true })))
}

function refuseUnsound(connection: Connection, version: number): void {
  const links = connection.all('PRAGMA foreign_key_check').length
  const pages = connection.get<{ integrity_check: string }>('PRAGMA integrity_check(1)')?.integrity_check
  if (links === 0 && pages === 'ok') return
  throw new StoreError(
    'store-corrupt',
    `The store ${connection.path} is not sound after bringing it to version ${version}.`,
    `The store as it was lies in ${connection.path}.before-v${version}; please report this.`,
  )
}
