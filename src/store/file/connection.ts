import type Database from 'better-sqlite3'
import { asStoreError, storeCorrupt } from './store-errors.js'

/** What a statement may be given: SQLite's own kinds of value. */
export type SqlValue = string | number | null

/** How a writer waits for another program that is writing, once the busy timeout is over. The process stands still. */
export interface Patience {
  /** How much longer it waits, ms. */
  readonly furtherMs: number
  /** Called before that: to say so. */
  readonly onWaiting: () => void
}

/**
 * One open database: statements prepared once, every writer an immediate transaction (a reader that turns writer
 * midway fails at once with a stale snapshot, whatever the timeout), every SQLite error turned into ours.
 */
export class Connection {
  readonly path: string
  readonly database: Database.Database
  /** Null: the busy timeout of the database is all there is. */
  patience: Patience | null = null
  readonly #statements = new Map<string, Database.Statement<SqlValue[]>>()

  constructor(path: string, database: Database.Database) {
    this.path = path
    this.database = database
  }

  /** First row, or undefined. `Row` is what the schema promises: tables are STRICT. */
  get<Row>(sql: string, ...values: SqlValue[]): Row | undefined {
    return this.guard(() => this.#prepare(sql).get(...values) as Row | undefined)
  }

  all<Row>(sql: string, ...values: SqlValue[]): Row[] {
    return this.guard(() => this.#prepare(sql).all(...values) as Row[])
  }

  /** Runs a statement that changes rows. @returns the row id of an insert, and how many rows changed */
  run(sql: string, ...values: SqlValue[]): { rowId: number; changes: number } {
    return this.guard(() => {
      const { lastInsertRowid, changes } = this.#prepare(sql).run(...values)
      return { rowId: Number(lastInsertRowid), changes }
    })
  }

  /** Inserts a row given by column, so that long rows cannot slip out of order. */
  insert(table: string, row: Readonly<Record<string, SqlValue>>): number {
    const columns = Object.keys(row)
    const sql = `INSERT INTO ${table} (${columns.join(', ')}) VALUES (${columns.map(() => '?').join(', ')})`
    return this.run(sql, ...Object.values(row)).rowId
  }

  /** Updates the row of this id by column. */
  update(table: string, id: SqlValue, row: Readonly<Record<string, SqlValue>>): void {
    const columns = Object.keys(row)
    const sql = `UPDATE ${table} SET ${columns.map((column) => `${column} = ?`).join(', ')} WHERE id = ?`
    this.run(sql, ...Object.values(row), id)
  }

  /** All of `work` or nothing of it, durable on return. */
  write<T>(work: () => T): T {
    return this.guard(() => this.#whenFree(() => this.database.transaction(work).immediate()))
  }

  /** Runs `work` with writes that fail at once with `store-locked` where another program is writing. */
  withoutWaiting<T>(work: () => T): T {
    const { patience } = this
    this.patience = null
    try {
      return this.#withBusyTimeout(0, work)
    } finally {
      this.patience = patience
    }
  }

  guard<T>(work: () => T): T {
    try {
      return work()
    } catch (error) {
      throw asStoreError(error, this.path)
    }
  }

  /** A JSON column of type `T` as it was written. @throws StoreError `store-corrupt` where it is not JSON any more */
  json<T>(text: string, place: string): T {
    try {
      return JSON.parse(text) as T
    } catch (cause) {
      throw storeCorrupt(this.path, `is damaged: ${place} cannot be read`, cause)
    }
  }

  /** A transaction that found the store taken has done nothing yet, so that it may be begun again. */
  #whenFree<T>(transaction: () => T): T {
    try {
      return transaction()
    } catch (error) {
      if (this.patience === null || this.database.inTransaction || !isBusy(error)) throw error
    }
    this.patience.onWaiting()
    return this.#withBusyTimeout(this.patience.furtherMs, transaction)
  }

  #withBusyTimeout<T>(ms: number, work: () => T): T {
    const usualMs = Number(this.database.pragma('busy_timeout', { simple: true }))
    this.database.pragma(`busy_timeout = ${ms}`)
    try {
      return work()
    } finally {
      this.database.pragma(`busy_timeout = ${usualMs}`)
    }
  }

  #prepare(sql: string): Database.Statement<SqlValue[]> {
    let statement = this.#statements.get(sql)
    if (statement === undefined) {
      statement = this.database.prepare<SqlValue[]>(sql)
      this.#statements.set(sql, statement)
    }
    return statement
  }
}

function isBusy(error: unknown): boolean {
  return error instanceof Error && 'code' in error && String(error.code).startsWith('SQLITE_BUSY')
}
