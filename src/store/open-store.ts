import type { Axes } from './axes.js'
import type { IntegrityReport } from './entities.js'
import type { History } from './history.js'
import type { Machines } from './machines.js'
import type { Recordings } from './recordings.js'
import type { Runs } from './runs.js'
import type { Sessions } from './sessions.js'
import type { Tables } from './tables.js'

export interface Store {
  readonly path: string
  readonly machines: Machines
  readonly axes: Axes
  readonly sessions: Sessions
  readonly recordings: Recordings
  readonly runs: Runs
  readonly tables: Tables
  readonly history: History
  /** Checks pages, links and table hashes. */
  integrityCheck(): IntegrityReport
  /** Writes a sound copy beside everything still in the write-ahead log. @throws FileError `file-exists`, `file-not-written` */
  backupTo(path: string): void
  close(): void
}

/**
 * Opens the store file. `write` makes the file and its folders where missing and brings an older store up to date
 * (after a backup copy beside it); `read` never makes a file: a store that is not there yet reads as an empty one.
 *
 * @throws StoreError `store-locked`, `store-read-only`, `store-corrupt`, `store-newer`, `store-foreign`, `store-full`,
 *   `store-unreachable`; every method of the store may throw them as well
 */
export declare function openStore(path: string, options: { mode: 'read' | 'write' }): Store
