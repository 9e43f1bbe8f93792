import type Database from 'better-sqlite3'

/** What a statement may be given: SQLite's own kinds of value. */
export type SqlValue = string | number | null

interface Statement {
  readonly statement: Database.Statement<SqlValue[]>
  /** What its columns are called; none where it gives no rows. */
  readonly columns: readonly string[]
}

/**
 * The statements of one open database, each prepared once. They give their rows as lists of values: the library would
 * make an object of each by a function that it writes and compiles for every statement, which costs a lookup as much as
 * reading all its rows.
 */
export class Statements {
  readonly #database: Database.Database
  readonly #prepared = new Map<string, Statement>()

  constructor(database: Database.Database) {
    this.#database = database
  }

  /** First row, by the names of its columns, or undefined. */
  get(sql: string, values: readonly SqlValue[]): Record<string, unknown> | undefined {
    const { columns, statement } = this.#prepare(sql)
    const row = statement.get(...values) as unknown[] | undefined
    return row && named(columns, row)
  }

  /** All rows, by the names of their columns. */
  all(sql: string, values: readonly SqlValue[]): Record<string, unknown>[] {
    const { columns, statement } = this.#prepare(sql)
    return (statement.all(...values) as unknown[][]).map((row) => named(columns, row))
  }

  run(sql: string, values: readonly SqlValue[]): Database.RunResult {
    return this.#prepare(sql).statement.run(...values)
  }

  #prepare(sql: string): Statement {
    let prepared = this.#prepared.get(sql)
    if (prepared === undefined) {
      const statement = this.#database.prepare<SqlValue[]>(sql)
      const columns = statement.reader ? statement.columns().map(({ name }) => name) : []
      prepared = { statement: statement.reader ? statement.raw() : statement, columns }
      this.#prepared.set(sql, prepared)
    }
    return prepared
  }
}

function named(columns: readonly string[], values: readonly unknown[]): Record<string, unknown> {
  const row: Record<string, unknown> = {}
  for (const [i, column] of columns.entries()) row[column] = values[i]
  return row
}
