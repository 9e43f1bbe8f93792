import type { Connection } from './connection.js'

/** What is counted of every axis, and in words. */
const TALLIED = {
  recordings: 'recordings',
  runs: 'runs',
  tables_plus: 'tables (+)',
  tables_minus: 'tables (-)',
} as const

/**
 * Refuses where fewer or more rows of an axis are found than were stored: a damaged index or page hides rows without a
 * word.
 *
 * @throws StoreError `store-damaged`
 */
export function refuseMissing(
  connection: Connection,
  axisId: number,
  what: keyof typeof TALLIED,
  found: number,
): void {
  const tally = connection.get<{ stored: number }>(
    `SELECT ${what} AS stored FROM axis_tally WHERE axis_id = ?`,
    axisId,
  )
  // No axis of this number was ever stored: then nothing of it was.
  if ((tally?.stored ?? 0) !== found)
    throw connection.damaged(`the list of all ${TALLIED[what]} of axis ${axisId}`)
}

/** How many pieces of a recording were stored. */
export function storedPieces(connection: Connection, recordingId: string): number {
  const tally = connection.get<{ pieces: number }>(
    'SELECT pieces FROM recording_tally WHERE recording_id = ?',
    recordingId,
  )
  return tally?.pieces ?? 0
}

/**
 * The same for the pieces of a recording, which may grow while it is read.
 *
 * @param before how many were stored when the reading began
 * @throws StoreError `store-damaged`
 */
export function refuseMissingPieces(
  connection: Connection,
  recordingId: string,
  before: number,
  found: number,
): void {
  if (found < before || found > storedPieces(connection, recordingId))
    throw connection.damaged(`the end of recording ${recordingId}`)
}
