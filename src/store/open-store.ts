import { CutNotes } from './cut-notes.js'
import { changedSchema } from './damage/changed-schema.js'
import type { IntegrityReport } from './damage/integrity.js'
import { checkIntegrity } from './damage/integrity.js'
import { type CopyOptions, copyDatabase } from './file/copy-database.js'
import { openForReading, openForWriting } from './file/open-database.js'
import type { Patience } from './file/patience.js'
import { History } from './history.js'
import { Axes } from './machines/axes.js'
import { Machines } from './machines/machines.js'
import { type MergeReport, mergeStore } from './merge/index.js'
import { Practices } from './practices.js'
import { Recordings } from './recordings.js'
import { Runs } from './runs.js'
import { Sessions } from './sessions.js'
import { Tables } from './tables/tables.js'

/**
 * How long to wait for another program that is writing, ms. Judgement: our own writes take a few ms; a person
 * waits a second.
 */
const BUSY_TIMEOUT_MS = 1000

interface OpenOptions {
  readonly mode: 'read' | 'write'
  /** How long to wait for another program that is writing, ms; 1000 unless given. The whole process waits. */
  readonly busyTimeoutMs?: number
  /** How to wait after that; without it a write then fails with `store-locked`. */
  readonly patience?: Patience
}

/** The open store; every method may throw the StoreErrors of `openStore`. */
export interface Store {
  readonly path: string
  /** What was left out when the store was opened (an entry that a power cut left unfinished), in a sentence, or null. */
  readonly leftOut: string | null
  readonly machines: Machines
  readonly axes: Axes
  readonly sessions: Sessions
  readonly recordings: Recordings
  readonly practices: Practices
  readonly cutNotes: CutNotes
  readonly runs: Runs
  readonly tables: Tables
  readonly history: History
  /** Checks pages, links, table hashes and raw lines; may take a while on a large store. */
  integrityCheck(): IntegrityReport
  /** Takes in what another store holds and this one does not; see `mergeStore`. */
  mergeFrom(path: string): MergeReport
  /** Writes a sound copy of the whole store; see `copyDatabase`. @throws UsageError `file-exists`, `file-is-store` */
  backupTo(path: string, options?: CopyOptions): void
  /**
   * Lets go of the file while `work` puts another in its place, and opens what is there then; where `work` fails, the
   * store that was there.
   */
  exchange<T>(work: () => T): T
  /** All of `work` or nothing of it. */
  together<T>(work: () => T): T
  /**
   * Runs writes that fail at once with `store-locked` instead of waiting for another program: for use while lines are
   * stamped as they arrive, since the whole process waits.
   */
  withoutWaiting<T>(work: () => T): T
  close(): void
}

/**
 * Opens the store file. `write` makes the file and its folders where missing and brings an older store up to date
 * (after a backup copy beside it); `read` never makes a file: a store that is not there yet reads as an empty one.
 *
 * @throws StoreError `store-locked`, `store-read-only`, `store-damaged`, `store-newer`, `store-foreign`, `store-full`,
 *   `store-unreachable`; every method of the store may throw them as well
 */
export function openStore(path: string, options: OpenOptions): Store {
  let opened = openFile(path, options)
  return {
    get path() {
      return opened.connection.path
    },
    get leftOut() {
      return opened.connection.leftOut
    },
    get machines() {
      return opened.machines
    },
    get axes() {
      return opened.axes
    },
    get sessions() {
      return opened.sessions
    },
    get recordings() {
      return opened.recordings
    },
    get practices() {
      return opened.practices
    },
    get cutNotes() {
      return opened.cutNotes
    },
    get runs() {
      return opened.runs
    },
    get tables() {
      return opened.tables
    },
    get history() {
      return opened.history
    },
    integrityCheck: () => checkIntegrity(opened.connection, opened.tables),
    mergeFrom: (other) => mergeStore(opened.connection, other),
    backupTo: (to, options) => copyDatabase(opened.connection, to, options),
    exchange: (work) => {
      opened.close()
      try {
        return work()
      } finally {
        opened = openFile(path, options)
      }
    },
    together: (work) => opened.connection.write(work),
    withoutWaiting: (work) => opened.connection.withoutWaiting(work),
    close: () => opened.close(),
  }
}

/** The file, opened, with what is in it. */
function openFile(path: string, options: OpenOptions) {
  const open = options.mode === 'write' ? openForWriting : openForReading
  const { connection, close } = open(path, options.busyTimeoutMs ?? BUSY_TIMEOUT_MS)
  connection.patience = options.patience ?? null
  connection.changedSchema = changedSchema
  const machines = new Machines(connection)
  const tables = new Tables(connection)
  const recordings = new Recordings(connection)
  const runs = new Runs(connection, recordings)
  return {
    connection,
    close,
    machines,
    axes: new Axes(connection, machines),
    sessions: new Sessions(connection, recordings, runs),
    recordings,
    practices: new Practices(connection),
    cutNotes: new CutNotes(connection),
    runs,
    tables,
    history: new History(connection, tables),
  }
}
