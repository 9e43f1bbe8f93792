import type Database from 'better-sqlite3'

/** Runs SQL as a person with another program might who takes the store's guards away for it and puts them back. */
export function editBehind(database: Database.Database, sql: string): void {
  const guards = "type = 'trigger' AND (name LIKE '%\\_no\\_%' ESCAPE '\\' OR name LIKE '%stays')"
  const triggers = database
    .prepare(`SELECT name, tbl_name, sql FROM sqlite_schema WHERE ${guards}`)
    .all() as {
    name: string
    tbl_name: string
    sql: string
  }[]
  for (const { name } of triggers) database.exec(`DROP TRIGGER ${name}`)
  database.pragma('foreign_keys = OFF')
  database.pragma('ignore_check_constraints = ON')
  database.exec(sql)
  const left = new Set(database.prepare('SELECT name FROM sqlite_schema').pluck().all())
  for (const trigger of triggers) if (left.has(trigger.tbl_name)) database.exec(trigger.sql)
}
