import { StoreError, UsageError } from '../errors/index.js'
import type { StampedLine } from '../ingest/index.js'
import type { Direction } from '../traverse/index.js'
import type { Connection } from './file/connection.js'
import { newId } from './file/new-id.js'
import { isAnything } from './file/shapes.js'
import { finite, toJson } from './file/stored-values.js'
import { refuseMissing } from './file/tallies.js'
import type { NewRecording, Recording, StopwatchRecord } from './measurement-types.js'
import { dateOf, type InSession, latestStart, presentSession, sessionByDate } from './measuring-session.js'
import { recordingPieces, recordingText, storedLines } from './recording-lines.js'
import { type RecordingRow, recordingColumns, recordingOf } from './recording-row.js'
import { twinOf } from './twin-recording.js'

/** Most lines in one piece. Judgement: reading a long recording back takes little memory. */
const LINES_A_PIECE = 5000

/** Raw evidence, kept before anything is concluded from it, and never changed. */
export class Recordings {
  readonly #connection: Connection

  constructor(connection: Connection) {
    this.#connection = connection
  }

  /** Begins a readout recording; lines follow through `appendLines`. */
  start(recording: NewRecording): Recording {
    return this.#connection.write(() => this.#insert(recording, null))
  }

  /**
   * Adds lines as they came; durable on return. Lines already there never change.
   * @throws StoreError `recording-ended`
   */
  appendLines(recordingId: string, lines: readonly StampedLine[]): void {
    this.#connection.write(() => {
      if (this.get(recordingId).endedAt !== null) {
        throw new StoreError(
          'recording-ended',
          `Recording ${recordingId} has ended and takes no more lines.`,
          'Begin a new recording.',
        )
      }
      for (let from = 0; from < lines.length; from += LINES_A_PIECE) {
        this.#appendPiece(recordingId, recordingText(lines.slice(from, from + LINES_A_PIECE)))
      }
    })
  }

  /** Says that no more lines will come. */
  end(recordingId: string, nowIso: string): void {
    this.#connection.write(() => {
      if (this.get(recordingId).endedAt === null) {
        this.#connection.update('recording', recordingId, { ended_at: nowIso })
      }
    })
  }

  /** Keeps one stopwatch entry as a recording of its own, already ended. */
  addStopwatch(recording: NewRecording, entry: StopwatchRecord): Recording {
    return this.#connection.write(() => {
      const added = this.#insert(recording, recording.startedAt)
      this.#connection.insert('stopwatch_entry', {
        recording_id: added.id,
        distance_mm: finite(entry.distanceMm, 'the distance of a stopwatch entry'),
        duration_s: finite(entry.durationS, 'the time of a stopwatch entry'),
        direction: entry.direction,
        marks: toJson(entry.marks, 'a mark of a stopwatch entry'),
      })
      return added
    })
  }

  /** @throws UsageError `unknown-recording`; StoreError `store-damaged`, also where a damaged index may hide it */
  get(recordingId: string): Recording {
    const row = this.#connection.row<RecordingRow>('recording', 'WHERE id = ?', recordingId)
    if (row === undefined) {
      this.#connection.refuseDisorder('recording')
      throw new UsageError(
        'unknown-recording',
        `There is no recording ${recordingId} in the store.`,
        'Recordings are listed with their runs.',
      )
    }
    return recordingOf(this.#connection, row)
  }

  /** Recordings of an axis in the order they were made. */
  list(axisId: number): Recording[] {
    const rows = this.#connection.read(() => {
      const found = this.#connection.rows<RecordingRow>('recording', 'WHERE axis_id = ? ORDER BY id', axisId)
      refuseMissing(this.#connection, axisId, 'recordings', found.length)
      return found
    })
    return rows.map((row) => recordingOf(this.#connection, row))
  }

  /**
   * Where all recordings of an axis were made in one measuring session and none is a check run: that session and when
   * its latest recording began; else null. For lookups: it reads one row, and `list` reads and checks all.
   */
  onlySession(axisId: number): InSession | null {
    const [only, ...others] = this.#connection.all<{
      session_name: string | null
      first: string
      latest: string
      checks: number
    }>(
      `SELECT session_name, min(started_at) AS first, max(started_at) AS latest, count(check_run) AS checks
        FROM recording WHERE axis_id = ? GROUP BY session_name`,
      axisId,
    )
    if (only === undefined || others.length > 0 || only.checks > 0) return null
    if (only.session_name === null && dateOf(only.first) !== dateOf(only.latest)) return null
    return this.#latest(axisId, only.latest)
  }

  /** The measuring session that somebody works in at this time; null where the latest recording was made too long before. */
  presentSession(axisId: number, nowIso: string): string | null {
    const latest = this.#latest(axisId, latestStart(nowIso))
    return presentSession(latest === null ? [] : [latest], nowIso)
  }

  /**
   * The measuring session that a recording of the axis begun at this time belongs to where nobody names one: that of the
   * latest recording that was not named either, unless it was made too long before; else one of its own, by the date.
   */
  sessionAt(axisId: number, startedAt: string): string {
    // Only names are taken from these rows; a damaged one must not keep new lines out of the store.
    const rows = this.#connection.all<{ session_name: string | null; started_at: string }>(
      'SELECT session_name, started_at FROM recording WHERE axis_id = ?',
      axisId,
    )
    return sessionByDate(
      rows.map((row) => ({
        sessionName: row.session_name ?? dateOf(row.started_at),
        startedAt: row.started_at,
      })),
      startedAt,
    )
  }

  /** Recordings of a guided session in the order they were made. */
  ofSession(sessionId: number): Recording[] {
    return this.#connection
      .rows<RecordingRow>('recording', 'WHERE session_id = ? ORDER BY id', sessionId)
      .map((row) => recordingOf(this.#connection, row))
  }

  /** Readout recordings that were never ended: the program was stopped midway. */
  unfinished(axisId: number): Recording[] {
    return this.list(axisId).filter((recording) => recording.endedAt === null)
  }

  /** The lines in order, a piece in memory at a time. */
  lines(recordingId: string): Generator<StampedLine> {
    return storedLines(this.#connection, recordingId)
  }

  /** The same as text in the recording format, one `{"t":…,"line":…}` a line, in pieces that each end with a newline. */
  text(recordingId: string): Generator<string> {
    return recordingPieces(this.#connection, recordingId)
  }

  /** The stopwatch entry of this recording, or null for a readout recording. */
  stopwatchEntry(recordingId: string): StopwatchRecord | null {
    const row = this.#connection.row<{
      distance_mm: number
      duration_s: number
      direction: Direction
      marks: string
    }>('stopwatch_entry', 'WHERE recording_id = ?', recordingId)
    if (row === undefined) {
      if (this.get(recordingId).source === 'readout') return null
      throw this.#connection.damaged(`the entry of recording ${recordingId}`)
    }
    return {
      distanceMm: row.distance_mm,
      durationS: row.duration_s,
      direction: row.direction,
      marks: this.#connection.json(row.marks, `the marks of recording ${recordingId}`, isAnything),
    }
  }

  /** Id of an earlier readout recording of this axis and setting that is the very same but for its time origin, or null. */
  twin(recordingId: string): string | null {
    return twinOf(this.#connection, recordingId)
  }

  #appendPiece(recordingId: string, text: string): void {
    const next = this.#connection.get<{ sequence: number }>(
      'SELECT coalesce(max(sequence), -1) + 1 AS sequence FROM recording_piece WHERE recording_id = ?',
      recordingId,
    )
    this.#connection.insert('recording_piece', {
      recording_id: recordingId,
      sequence: next?.sequence ?? 0,
      lines: text,
    })
  }

  #insert(recording: NewRecording, endedAt: string | null): Recording {
    const id = newId(recording.startedAt)
    this.#connection.insert('recording', {
      id,
      ...recordingColumns(recording),
      ended_at: endedAt,
      session_name: recording.sessionName ?? this.sessionAt(recording.axisId, recording.startedAt),
    })
    return this.get(id)
  }

  /** The latest of an axis, begun no later than so. */
  #latest(axisId: number, before: string): Recording | null {
    const row = this.#connection.row<RecordingRow>(
      'recording',
      'WHERE axis_id = ? AND started_at <= ? ORDER BY started_at DESC, id DESC LIMIT 1',
      axisId,
      before,
    )
    return row === undefined ? null : recordingOf(this.#connection, row)
  }
}
