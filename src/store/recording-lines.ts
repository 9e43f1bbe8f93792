import type { StampedLine } from '../ingest/index.js'
import type { Connection } from './file/connection.js'
import { isNumber, isText, objectOf } from './file/shapes.js'
import { finite } from './file/stored-values.js'
import { refuseMissingPieces, storedPieces } from './file/tallies.js'

/** Lines as text of the recording format, each ended by a newline: `{"t":12.5,"line":"raw text"}`. */
export function recordingText(lines: readonly StampedLine[]): string {
  let text = ''
  for (const { timeS, text: line } of lines) {
    text += `${JSON.stringify({ t: finite(timeS, 'the arrival time of a line'), line })}\n`
  }
  return text
}

/**
 * The pieces of a recording in order. Each piece is fetched by a statement of its own, so that the store stays free
 * for other statements while the caller works, and only one piece is in memory.
 *
 * @throws StoreError `store-damaged` for a piece that was changed, and where one is missing
 */
export function* recordingPieces(connection: Connection, recordingId: string): Generator<string> {
  const before = storedPieces(connection, recordingId)
  let found = 0
  for (let sequence = -1; ; ) {
    const row = connection.get<{ sequence: number; lines: string }>(
      'SELECT * FROM recording_piece WHERE recording_id = ? AND sequence > ? ORDER BY sequence LIMIT 1',
      recordingId,
      sequence,
    )
    if (row === undefined) break
    connection.refuseChanged('recording_piece', row)
    yield row.lines
    sequence = row.sequence
    found += 1
  }
  refuseMissingPieces(connection, recordingId, before, found)
}

const isStoredLine = objectOf<{ t: number; line: string }>({ t: isNumber, line: isText })

/** The stamped lines of a recording in order. @throws StoreError `store-damaged` */
export function* storedLines(connection: Connection, recordingId: string): Generator<StampedLine> {
  let number = 0
  for (const piece of recordingPieces(connection, recordingId)) {
    for (let from = 0; from < piece.length; ) {
      const end = piece.indexOf('\n', from)
      // A piece that was cut off ends without a newline, in half a line that is no JSON.
      const to = end === -1 ? piece.length : end
      number += 1
      const place = `line ${number} of recording ${recordingId}`
      const { t, line } = connection.json(piece.slice(from, to), place, isStoredLine)
      yield { timeS: t, text: line }
      from = to + 1
    }
  }
}
