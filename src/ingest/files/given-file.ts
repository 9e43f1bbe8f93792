import { closeSync, constants, fstatSync, openSync, readFileSync, type Stats, statSync } from 'node:fs'
import { DataError, FileError } from '../../errors/index.js'

/**
 * Most bytes of a file that is read whole: a profile, a procedure, a table document. Judgement: a table of two
 * directions takes about 0.1 MB, and what is read takes some ten times the memory of its text.
 */
export const MOST_TEXT_BYTES = 32 * 2 ** 20

/** Most bytes of a recording, which is read in pieces. Judgement: a week at 30 lines a second. */
export const MOST_RECORDING_BYTES = 2 ** 30

/** What the error says where a file cannot be read at all. */
interface Unreadable {
  readonly code: string
  readonly message: string
  readonly hint: string
}

/**
 * Opens a file that a person named, for reading. Devices, pipes and sockets are refused before anything is read: they
 * may have no end, and opening one may wait for ever.
 *
 * @returns the descriptor, to be closed by the caller
 * @throws FileError `file-is-folder`, `file-not-regular`, `file-too-large`; the system's own errors otherwise
 */
export function openGivenFile(path: string, mostBytes: number): number {
  refuseOther(path, statSync(path), mostBytes)
  // Without waiting: what stands at this path may have become a pipe since. Windows has no such flag, and no such pipes.
  const handle = openSync(path, constants.O_RDONLY | (constants.O_NONBLOCK ?? 0))
  try {
    refuseOther(path, fstatSync(handle), mostBytes)
    return handle
  } catch (error) {
    closeSync(handle)
    throw error
  }
}

/**
 * The whole text of a file that a person named, without its byte-order mark.
 *
 * @param unreadable what to say where it is missing or may not be read
 * @throws FileError `unreadable.code`, `file-is-folder`, `file-not-regular`, `file-too-large`
 */
export function readGivenText(path: string, unreadable: Unreadable, mostBytes = MOST_TEXT_BYTES): string {
  try {
    const handle = openGivenFile(path, mostBytes)
    try {
      return readFileSync(handle, 'utf8').replace(/^\uFEFF/, '')
    } finally {
      closeSync(handle)
    }
  } catch (cause) {
    if (cause instanceof FileError || cause instanceof DataError) throw cause
    throw new FileError(unreadable.code, unreadable.message, unreadable.hint, { cause })
  }
}

function refuseOther(path: string, stats: Stats, mostBytes: number): void {
  if (stats.isDirectory()) {
    throw new FileError('file-is-folder', `${path} is a folder, not a file.`, 'Name the file in it.')
  }
  if (!stats.isFile()) {
    throw new FileError(
      'file-not-regular',
      `${path} is a ${kindOf(stats)}, not an ordinary file.`,
      'Write what it gives into a file first, and name that file.',
    )
  }
  if (stats.size > mostBytes) {
    throw new FileError(
      'file-too-large',
      `${path} is too large: ${megabytes(stats.size)} MB, and at most ${megabytes(mostBytes)} MB are read.`,
      'Check that it is the right file, or split it into smaller ones.',
    )
  }
}

function kindOf(stats: Stats): string {
  if (stats.isFIFO()) return 'pipe'
  if (stats.isSocket()) return 'socket'
  return 'device'
}

function megabytes(bytes: number): string {
  return (bytes / 2 ** 20).toFixed(0)
}
