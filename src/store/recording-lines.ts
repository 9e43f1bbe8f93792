import type { StampedLine } from '../ingest/index.js'
import type { Connection } from './file/connection.js'
import { storeCorrupt } from './file/store-errors.js'
import { finite } from './file/stored-values.js'

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
 */
export function* recordingPieces(connection: Connection, recordingId: string): Generator<string> {
  for (let sequence = -1; ; ) {
    const row = connection.get<{ sequence: number; lines: string }>(
      'SELECT sequence, lines FROM recording_piece WHERE recording_id = ? AND sequence > ? ORDER BY sequence LIMIT 1',
      recordingId,
      sequence,
    )
    if (row === undefined) return
    yield row.lines
    sequence = row.sequence
  }
}

/** The stamped lines of a recording in order. @throws StoreError `store-corrupt` */
export function* storedLines(connection: Connection, recordingId: string): Generator<StampedLine> {
  let number = 0
  for (const piece of recordingPieces(connection, recordingId)) {
    for (let from = 0; from < piece.length; ) {
      const to = piece.indexOf('\n', from)
      number += 1
      const place = `line ${number} of recording ${recordingId}`
      const { t, line } = connection.json<{ t: unknown; line: unknown }>(piece.slice(from, to), place)
      if (typeof t !== 'number' || typeof line !== 'string') {
        throw storeCorrupt(connection.path, `is damaged: ${place} cannot be read`)
      }
      yield { timeS: t, text: line }
      from = to + 1
    }
  }
}
