import { apartFromMove } from '../../../planning/lookup/standing-warnings.js'
import type { StoredTable } from '../../../store/index.js'
import { Notice } from './notice.js'

/** Stands above everything that is read off a table which a recheck found moved, until there is a new table. */
export function MovedWarning({ tables }: { tables: readonly StoredTable[] }) {
  const messages = new Set(
    tables.flatMap(({ warnings }) => apartFromMove(warnings).moved.map(({ message }) => message)),
  )
  return (
    <>
      {[...messages].map((message) => (
        <Notice kind="trouble" key={message}>
          {message} <a href="#/check">To the recheck</a>
        </Notice>
      ))}
    </>
  )
}
