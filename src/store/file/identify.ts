import { StoreError } from '../../errors/index.js'
import { MIGRATIONS } from '../migrations/index.js'
import { APPLICATION_ID } from './application-id.js'
import type { Connection } from './connection.js'
import { storeForeign, storeNewer } from './store-errors.js'

/**
 * Oldest SQLite without the WAL-reset bug, which could lose commits of two programs (source: SQLite change log,
 * 3.51.3).
 */
const OLDEST_SQLITE = [3, 51, 3] as const

/**
 * Whose file it is and of which version; a newer or foreign one is refused before anything is written.
 * @throws StoreError `store-foreign`, `store-newer`, `sqlite-too-old`
 */
export function identify(connection: Connection): { version: number; empty: boolean } {
  const found = connection.get<{ sqlite: string; application: number; version: number; objects: number }>(
    `SELECT sqlite_version() AS sqlite, (SELECT application_id FROM pragma_application_id) AS application,
      (SELECT user_version FROM pragma_user_version) AS version, (SELECT count(*) FROM sqlite_schema) AS objects`,
  )
  if (found === undefined) throw storeForeign(connection.path)
  refuseOldSqlite(found.sqlite)
  const empty = found.objects === 0 && found.version === 0 && found.application === 0
  if (!empty && found.application !== APPLICATION_ID) throw storeForeign(connection.path)
  if (found.version > MIGRATIONS.length) {
    throw storeNewer(connection.path, found.version, MIGRATIONS.length)
  }
  return { version: found.version, empty }
}

/** @throws StoreError `sqlite-too-old` */
export function refuseOldSqlite(version: string): void {
  const parts = version.split('.').map(Number)
  const differs = OLDEST_SQLITE.findIndex((part, index) => parts[index] !== part)
  if (differs === -1 || (parts[differs] ?? 0) > (OLDEST_SQLITE[differs] ?? 0)) return
  throw new StoreError(
    'sqlite-too-old',
    `SQLite ${version} may lose entries when two programs write; ${OLDEST_SQLITE.join('.')} or newer is needed.`,
    'Install tablepace again.',
  )
}
