import type Database from 'better-sqlite3'

/** How a writer waits for another program that is writing, once the busy timeout is over. The process stands still. */
export interface Patience {
  /** How much longer it waits, ms. */
  readonly furtherMs: number
  /** Called before that: to say so. */
  readonly onWaiting: () => void
}

/**
 * Runs a transaction, and where the store is taken once more with patience: it has done nothing yet, so that it may be
 * begun again.
 *
 * @param patience null: the busy timeout of the database is all there is
 */
export function whenFree<T>(database: Database.Database, patience: Patience | null, transaction: () => T): T {
  try {
    return transaction()
  } catch (error) {
    if (patience === null || database.inTransaction || !isBusy(error)) throw error
  }
  patience.onWaiting()
  return withBusyTimeout(database, patience.furtherMs, transaction)
}

/** Runs `work` with another busy timeout, ms, and brings the usual one back. */
export function withBusyTimeout<T>(database: Database.Database, ms: number, work: () => T): T {
  const usualMs = Number(database.pragma('busy_timeout', { simple: true }))
  database.pragma(`busy_timeout = ${ms}`)
  try {
    return work()
  } finally {
    database.pragma(`busy_timeout = ${usualMs}`)
  }
}

function isBusy(error: unknown): boolean {
  return error instanceof Error && 'code' in error && String(error.code).startsWith('SQLITE_BUSY')
}
