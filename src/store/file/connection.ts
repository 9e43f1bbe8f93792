import type Database from 'better-sqlite3'
import { asKept, CHECKSUM, isAsStored, rowChecksum } from './checksum.js'
import { type Patience, whenFree, withBusyTimeout } from './patience.js'
import { bare, rowName, words } from './row-names.js'
import type { Shape } from './shapes.js'
import { type SqlValue, Statements } from './statements.js'
import { asStoreError, storeDamaged } from './store-errors.js'

/**
 * One open database: statements prepared once, every writer an immediate transaction (a reader that turns writer
 * midway fails at once with a stale snapshot, whatever the timeout), every SQLite error turned into ours.
 */
export class Connection {
  readonly path: string
  readonly database: Database.Database
  /** Null: the busy timeout of the database is all there is. */
  patience: Patience | null = null
  /** What was left out when the store was opened, in a sentence; null where nothing was. */
  leftOut: string | null = null
  /** Tables that the file describes in other words than the program; asked where SQLite refuses a row of ours. */
  changedSchema: (connection: Connection) => readonly string[] = () => []
  readonly #statements: Statements
  /** Tables whose pages and indexes were found in order since the store was opened. */
  readonly #inOrder = new Set<string>()

  constructor(path: string, database: Database.Database) {
    this.path = path
    this.database = database
    this.#statements = new Statements(database)
  }

  /** First row, or undefined: for what is no row of a table, such as a count. Rows are read by `rows`. */
  get<Row>(sql: string, ...values: SqlValue[]): Row | undefined {
    return this.guard(() => this.#statements.get(sql, values) as Row | undefined)
  }

  all<Row>(sql: string, ...values: SqlValue[]): Row[] {
    return this.guard(() => this.#statements.all(sql, values) as Row[])
  }

  /**
   * Rows of a table, each of them just as it was stored: `Row` is what the table's columns promised then.
   *
   * @param rest what follows `SELECT * FROM table`; conditions on anything but keys would leave a damaged row out
   * @throws StoreError `store-damaged` for a row that was changed since
   */
  rows<Row extends object>(table: string, rest = '', ...values: SqlValue[]): Row[] {
    const found = this.all<Row>(`SELECT * FROM ${table} ${rest}`, ...values)
    for (const row of found) this.refuseChanged(table, row)
    const [, asked] = /^WHERE (\w+) = \?/.exec(rest) ?? []
    this.refuseAstray(table, found, asked === undefined ? {} : { [asked]: values[0]! })
    return found
  }

  /** The first of `rows`, or undefined. @throws StoreError `store-damaged` */
  row<Row extends object>(table: string, rest: string, ...values: SqlValue[]): Row | undefined {
    return this.rows<Row>(table, rest, ...values)[0]
  }

  /** Rows one at a time, for tables that may be larger than memory; nothing else may use the store meanwhile. */
  *each<Row extends object>(sql: string): Generator<Row> {
    const rows = this.guard(() => this.database.prepare<[], Row>(sql).iterate())
    for (;;) {
      const next = this.guard(() => rows.next())
      if (next.done === true) return
      yield next.value
    }
  }

  /** @throws StoreError `store-damaged` for a row that is not what was once stored */
  refuseChanged(table: string, row: object): void {
    if (!isAsStored(table, row)) throw this.damaged(rowName(table, row))
  }

  /**
   * Refuses rows that a damaged index led to: each whole, but another than the one asked for, and often there twice.
   *
   * @param asked columns and the value that each row was to have in them
   * @throws StoreError `store-damaged`
   */
  refuseAstray(table: string, rows: readonly object[], asked: Readonly<Record<string, SqlValue>>): void {
    // Names are looked for whatever their case.
    const folded = (value: unknown) => (typeof value === 'string' ? value.toLowerCase() : value)
    const isAstray = (row: object) =>
      Object.entries(asked).some(
        ([column, value]) => !(column in row) || folded(row[column as never]) !== folded(value),
      )
    const ids = rows.flatMap((row) => ('id' in row ? [row.id] : []))
    if (rows.some(isAstray) || new Set(ids).size < ids.length)
      throw this.damaged(`the index of every ${words(table)}`)
  }

  /**
   * Refuses a table whose pages or indexes were damaged, so that no row of it can be missing unseen; looked at once as
   * long as the store is open. For tables of few rows: it reads all of them.
   */
  refuseDisorder(table: string): void {
    if (this.#inOrder.has(table)) return
    const [first] = this.pageProblems(table, 1)
    if (first !== undefined) throw this.damaged(`the list of every ${words(table)}`, first)
    this.#inOrder.add(table)
  }

  /** What SQLite finds wrong with its pages and indexes; of one table, or of all. Conditions on rows stay out of it. */
  pageProblems(table: string | null, most = 100): string[] {
    return this.guard(() => {
      this.set('ignore_check_constraints = ON')
      try {
        return this.all<{ integrity_check: string }>(`PRAGMA integrity_check(${table ?? most})`)
          .map((row) => row.integrity_check)
          .filter((line) => line !== 'ok')
      } finally {
        this.set('ignore_check_constraints = OFF')
      }
    })
  }

  /** Changes a setting of SQLite that gives nothing back. */
  set(pragma: string): void {
    this.database.exec(`PRAGMA ${pragma}`)
  }

  /** @param what continues "The store PATH is damaged: … is not what was stored" */
  damaged(what: string, cause?: unknown): Error {
    return storeDamaged(this.path, `${what} is not what was stored`, cause)
  }

  /** Runs a statement that changes rows. @returns the row id of an insert, and how many rows changed */
  run(sql: string, ...values: SqlValue[]): { rowId: number; changes: number } {
    return this.guard(() => {
      const { lastInsertRowid, changes } = this.#statements.run(sql, values)
      return { rowId: Number(lastInsertRowid), changes }
    })
  }

  /**
   * Inserts a row given by column, so that long rows cannot slip out of order, with its checksum. A row that is to get a
   * number for its id gets the next one. @returns the row id
   */
  insert(table: string, row: Readonly<Record<string, SqlValue>>): number {
    const { checked, numbered } = this.#columns(table)
    const kept = Object.fromEntries(Object.entries(row).map(([column, value]) => [column, asKept(value)]))
    if (numbered && kept.id === undefined) kept.id = this.#nextId(table)
    if (checked) kept[CHECKSUM] = rowChecksum(bare(table), kept)
    const columns = Object.keys(kept)
    const sql = `INSERT INTO ${table} (${columns.join(', ')}) VALUES (${columns.map(() => '?').join(', ')})`
    return this.run(sql, ...Object.values(kept)).rowId
  }

  /** Updates the row of this id by column, and its checksum. @throws StoreError `store-damaged` where it was changed before */
  update(table: string, id: SqlValue, row: Readonly<Record<string, SqlValue>>): void {
    const kept = Object.fromEntries(Object.entries(row).map(([column, value]) => [column, asKept(value)]))
    if (this.#columns(table).checked) {
      const before = this.get<Record<string, SqlValue>>(`SELECT * FROM ${table} WHERE id = ?`, id)
      if (before === undefined) return
      this.refuseChanged(bare(table), before)
      kept[CHECKSUM] = rowChecksum(bare(table), { ...before, ...kept })
    }
    const columns = Object.keys(kept)
    const sql = `UPDATE ${table} SET ${columns.map((column) => `${column} = ?`).join(', ')} WHERE id = ?`
    this.run(sql, ...Object.values(kept), id)
  }

  /** All of `work` or nothing of it, durable on return. */
  write<T>(work: () => T): T {
    return this.guard(() =>
      whenFree(this.database, this.patience, () => this.database.transaction(work).immediate()),
    )
  }

  /** Several reads of one moment: what another program stores meanwhile is in all of them or in none. */
  read<T>(work: () => T): T {
    const { database } = this
    return this.guard(() => (database.inTransaction ? work() : database.transaction(work).deferred()))
  }

  /** Runs `work` with writes that fail at once with `store-locked` where another program is writing. */
  withoutWaiting<T>(work: () => T): T {
    const { patience } = this
    this.patience = null
    try {
      return withBusyTimeout(this.database, 0, work)
    } finally {
      this.patience = patience
    }
  }

  guard<T>(work: () => T): T {
    try {
      return work()
    } catch (error) {
      // A row that our own rules refuse is a fault of the program, unless damage to pages or rules made it break them.
      if (isRefusal(error)) {
        const [page] = this.pageProblems(null, 1)
        if (page !== undefined) throw storeDamaged(this.path, `SQLite finds "${page}"`, error)
        const [part] = this.changedSchema(this)
        if (part !== undefined) throw storeDamaged(this.path, `its description of ${part} was changed`, error)
      }
      throw asStoreError(error, this.path)
    }
  }

  /** A JSON column that must have this shape. @throws StoreError `store-damaged` */
  json<T>(text: string, place: string, hasShape: Shape<T>): T {
    let value: unknown
    try {
      value = JSON.parse(text)
    } catch (cause) {
      throw this.damaged(place, cause)
    }
    if (!hasShape(value)) throw this.damaged(place)
    return value
  }

  /** Whether a table keeps checksums of its rows, and whether it gives them numbers. */
  #columns(table: string): { checked: boolean; numbered: boolean } {
    return this.guard(() => {
      const columns = this.database.prepare(`SELECT * FROM ${table} LIMIT 0`).columns()
      return {
        checked: columns.some(({ name }) => name === CHECKSUM),
        numbered: columns.some(({ name, type }) => name === 'id' && type === 'INTEGER'),
      }
    })
  }

  #nextId(table: string): number {
    return this.get<{ id: number }>(`SELECT coalesce(max(id), 0) + 1 AS id FROM ${table}`)?.id ?? 1
  }
}

function isRefusal(error: unknown): boolean {
  return error instanceof Error && 'code' in error && String(error.code).startsWith('SQLITE_CONSTRAINT')
}
