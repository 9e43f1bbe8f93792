import { closeSync, createReadStream, readSync } from 'node:fs'
import { extname } from 'node:path'
import { Readable } from 'node:stream'
import { DataError, FileError } from '../../errors/index.js'
import { type DialInRange, type LengthUnit, NUMBERED, unitWord } from '../../units/index.js'
import { MOST_RECORDING_BYTES, openGivenFile } from '../files/given-file.js'
import type { StampedLine } from '../lines/stamped-line.js'
import { columnName, columnUnit, lengthColumn, wantedColumn } from './column-names.js'
import { readCsvRecording } from './csv-recording.js'
import { readJsonLines } from './json-lines.js'
import type { StopwatchEntry } from './stopwatch-entry.js'
import { readStopwatchSheet } from './stopwatch-sheet.js'
import { readTimedReadings, TIMED_COLUMNS } from './timed-readings.js'
import type { TimedReadings } from './timed-run.js'

/** The lines of a recorded readout; iterate once. */
export interface LineRecording {
  readonly kind: 'lines'
  readonly lines: AsyncIterable<StampedLine>
  /** `spreadsheet`: bare numbers that may have lost trailing zeros, to be read leniently. */
  readonly numbers: 'as-sent' | 'spreadsheet'
  /** The unit that the file itself states, or null. */
  readonly unit: LengthUnit | null
}

/** A sheet of stopwatch entries. */
export interface StopwatchSheet {
  readonly kind: 'sheet'
  readonly entries: readonly StopwatchEntry[]
  /** Rows whose time is still empty: traverses that have not been made yet. */
  readonly blankRows: number
}

/** Bytes looked at to tell what a file is. Judgement: a few dozen lines, or the head of any workbook. */
const HEAD_BYTES = 4096

const HOW_TO_WRITE =
  'A recording is .jsonl with {"t":0.1,"line":"..."} a line or .csv with header t,position; ' +
  'a stopwatch sheet is .csv with header dial,direction,distance,time, ' +
  'and timed readings are .csv with header dial,direction,run,time,position.'

/**
 * Opens a recording, a stopwatch sheet or timed readings. JSON lines are told by the name or the first brace, the
 * kinds of CSV by their header. Lines are streamed: errors in later rows are thrown while iterating.
 *
 * @param machineUnit the unit of the axis: of bare lengths in a stopwatch sheet, of bare positions of timed readings
 * @param writing of the dial, in sheets and timed readings
 * @throws FileError `file-not-found`, `file-permission`, `file-is-folder`, `file-unreadable`
 * @throws DataError `file-empty`, `file-not-text`, `unknown-header`, `bad-row` and those of the entries; `other-kind`
 */
export async function openRecording(
  path: string,
  machineUnit: LengthUnit,
  writing: DialInRange = NUMBERED,
): Promise<LineRecording | StopwatchSheet | TimedReadings> {
  const head = readHead(path)
  const firstLine = head.split(/\r\n|\r|\n/).find((line) => line.trim() !== '') ?? ''
  if (/^\.(?:jsonl|ndjson)$/i.test(extname(path)) || firstLine.trimStart().startsWith('{')) {
    return readJsonLines(path, openStream(path))
  }
  const delimiter = firstLine.includes(';') ? ';' : firstLine.includes('\t') ? '\t' : ','
  const written = firstLine.split(delimiter).map((cell) => cell.trim().replace(/^"(.*)"$/, '$1'))
  const header = written.map(columnName)
  const position = lengthColumn(header, 'position')
  const distance = lengthColumn(header, 'distance')
  if (position !== undefined) refuseOtherKind(path, columnUnit(position) ?? machineUnit, machineUnit)
  if (header.includes('t') && position !== undefined)
    return readCsvRecording(path, openStream(path), delimiter, position)
  if (distance !== undefined && ['dial', 'direction', 'time'].every((column) => header.includes(column))) {
    const unit = columnUnit(distance) ?? machineUnit
    refuseOtherKind(path, unit, machineUnit)
    return await readStopwatchSheet(path, openStream(path), delimiter, { column: distance, unit, writing })
  }
  if (position !== undefined && TIMED_COLUMNS.every((column) => header.includes(column))) {
    return await readTimedReadings(path, openStream(path), delimiter, position, machineUnit, writing)
  }
  refuseColumn(path, written)
  throw new DataError(
    'unknown-header',
    `${path} starts with "${firstLine.trim().slice(0, 60)}", which is not a recording, a stopwatch sheet or timed readings.`,
    HOW_TO_WRITE,
  )
}

/** @throws DataError `unknown-header` for a column that would be known but for what stands behind its name */
function refuseColumn(path: string, headers: readonly string[]): void {
  const header = headers.find((one) => wantedColumn(one) !== null)
  if (header === undefined) return
  throw new DataError(
    'unknown-header',
    `The column "${header.slice(0, 60)}" of ${path} cannot be read.`,
    `Call it ${wantedColumn(header)}.`,
  )
}

/** @throws DataError `other-kind` for lengths on an axis that turns, and for degrees on a straight one */
function refuseOtherKind(path: string, unit: LengthUnit, axisUnit: LengthUnit): void {
  if ((unit === 'deg') === (axisUnit === 'deg')) return
  throw new DataError(
    'other-kind',
    `${path} holds numbers in ${unitWord(unit)}, and this axis ${axisUnit === 'deg' ? 'turns' : 'is straight'}.`,
    'Check which axis the file is for, or correct the name of its column.',
  )
}

/** The bytes of a file; a drive that fails midway is told as what it is. */
function openStream(path: string): Readable {
  async function* chunks(): AsyncGenerator<Buffer> {
    try {
      yield* createReadStream(path, { fd: openGivenFile(path, MOST_RECORDING_BYTES) })
    } catch (cause) {
      throw fileError(path, cause)
    }
  }
  return Readable.from(chunks())
}

/** The first bytes as text without its byte-order mark; refuses what is no text file. */
function readHead(path: string): string {
  let file: number | null = null
  try {
    file = openGivenFile(path, MOST_RECORDING_BYTES)
    const buffer = Buffer.alloc(HEAD_BYTES)
    const head = buffer.subarray(0, readSync(file, buffer))
    if (head.length === 0) throw new DataError('file-empty', `${path} is empty.`, HOW_TO_WRITE)
    if (head.includes(0)) {
      throw new DataError(
        'file-not-text',
        `${path} is not a plain text file.`,
        'Save spreadsheets as CSV in UTF-8; a recording is text, one line of the readout a row.',
      )
    }
    return head.toString('utf8').replace(/^\uFEFF/, '')
  } catch (cause) {
    throw cause instanceof DataError ? cause : fileError(path, cause)
  } finally {
    if (file !== null) closeSync(file)
  }
}

function fileError(path: string, cause: unknown): FileError {
  if (cause instanceof FileError) return cause
  const code = cause instanceof Error && 'code' in cause ? cause.code : undefined
  if (code === 'ENOENT') {
    return new FileError('file-not-found', `There is no file ${path}.`, 'Check the path.', { cause })
  }
  if (code === 'EACCES' || code === 'EPERM') {
    return new FileError(
      'file-permission',
      `${path} cannot be read: permission is missing.`,
      'Check the permissions of the file.',
      { cause },
    )
  }
  const reason = cause instanceof Error ? cause.message : String(cause)
  return new FileError(
    'file-unreadable',
    `${path} cannot be read: ${reason}.`,
    'Check the file and its drive.',
    {
      cause,
    },
  )
}
