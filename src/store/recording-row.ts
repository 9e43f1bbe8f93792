import type { Connection } from './file/connection.js'
import { isAnything, isText, recordOf, type Shape } from './file/shapes.js'
import { dialColumns, toJson } from './file/stored-values.js'
import type { NewRecording, Recording, RunSource } from './measurement-types.js'
import { dateOf } from './measuring-session.js'

/** A row of `recording`. */
export interface RecordingRow {
  id: string
  axis_id: number
  session_id: number | null
  step: number | null
  source: RunSource
  dial: number | null
  rapid: number
  dial_reset: number
  origin: string
  readout: string
  units: string
  tags: string
  note: string | null
  started_at: string
  ended_at: string | null
  session_name: string | null
  check_run: number | null
}

/** The columns of a recording that whoever begins it states. */
export function recordingColumns(recording: NewRecording) {
  return {
    axis_id: recording.axisId,
    session_id: recording.sessionId,
    step: recording.step,
    source: recording.source,
    ...dialColumns(recording.dial),
    dial_reset: recording.dialReset ? 1 : 0,
    origin: recording.origin,
    readout: toJson(recording.readout, 'a number of the readout format'),
    units: toJson(recording.units, 'a number of the readout units'),
    tags: toJson(recording.tags, 'a tag'),
    note: recording.note,
    started_at: recording.startedAt,
    check_run: recording.check === true ? 1 : null,
  }
}

/** @throws StoreError `store-damaged` where a column of text holds anything but what was stored */
export function recordingOf(connection: Connection, row: RecordingRow): Recording {
  const json = <T>(text: string, hasShape: Shape<T>) => connection.json(text, `recording ${row.id}`, hasShape)
  return {
    id: row.id,
    axisId: row.axis_id,
    sessionId: row.session_id,
    step: row.step,
    source: row.source,
    dial: row.rapid === 1 ? 'rapid' : row.dial,
    dialReset: row.dial_reset === 1,
    origin: row.origin,
    readout: json(row.readout, isAnything),
    units: json(row.units, isAnything),
    tags: json(row.tags, recordOf(isText)),
    note: row.note,
    startedAt: row.started_at,
    endedAt: row.ended_at,
    sessionName: row.session_name ?? dateOf(row.started_at),
    check: row.check_run === 1,
  }
}
