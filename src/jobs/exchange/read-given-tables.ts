import { closeSync, existsSync, readFileSync, readSync, statSync } from 'node:fs'
import { basename, dirname, join } from 'node:path'
import { FileError } from '../../errors/index.js'
import {
  DESCRIPTOR,
  documentOfPackage,
  readTableDocument,
  type TablesRead,
  tablesOf,
  zippedFiles,
} from '../../export/index.js'
import { MOST_TEXT_BYTES, openGivenFile, readGivenText } from '../../ingest/index.js'
import { tableHash } from '../../store/index.js'

/**
 * The tables that a file of another tablepace holds: a table document or a data package (its folder, its descriptor or a
 * zip file). 'store' for a whole store, which is never read whole.
 *
 * @throws FileError `file-not-read`; DataError `not-a-table-document`, `not-our-package`, `newer-document`, `hash-mismatch`
 */
export function readGivenTables(path: string): TablesRead | 'store' {
  switch (kindOf(path)) {
    case 'store':
      return 'store'
    case 'zip':
      return readZip(path)
    case 'package':
      return readPackage(path)
    case 'document':
      return readTableDocument(readText(path), path, tableHash)
  }
}

function kindOf(path: string): 'store' | 'package' | 'zip' | 'document' {
  try {
    if (statSync(path).isDirectory() || basename(path) === DESCRIPTOR) return 'package'
    // A store may be of any size: only its beginning is read, as every SQLite database has it (SQLite file format, 1.3).
    const begin = beginOf(path, 16)
    if (begin === 'SQLite format 3\0') return 'store'
    // The first bytes of every zip file with something in it (APPNOTE.TXT 6.3.10, 4.3.7).
    return begin.startsWith('PK\x03\x04') ? 'zip' : 'document'
  } catch (cause) {
    throw cause instanceof FileError ? cause : notRead(path, cause)
  }
}

function beginOf(path: string, bytes: number): string {
  const file = openGivenFile(path, Number.POSITIVE_INFINITY)
  try {
    const buffer = Buffer.alloc(bytes)
    return buffer.toString('latin1', 0, readSync(file, buffer, 0, bytes, 0))
  } finally {
    closeSync(file)
  }
}

function readPackage(path: string): TablesRead {
  const folder = basename(path) === DESCRIPTOR ? dirname(path) : path
  return tablesOf(
    documentOfPackage((name) => readText(join(folder, name)), path),
    tableHash,
  )
}

function readZip(path: string): TablesRead {
  const file = openGivenFile(path, MOST_TEXT_BYTES)
  try {
    return tablesOf(documentOfPackage(zippedFiles(readFileSync(file), path), path), tableHash)
  } finally {
    closeSync(file)
  }
}

function readText(path: string): string {
  return readGivenText(path, unreadable(path, !existsSync(path)))
}

function notRead(path: string, cause: unknown): FileError {
  const { code, message, hint } = unreadable(path, (cause as NodeJS.ErrnoException).code === 'ENOENT')
  return new FileError(code, message, hint, { cause })
}

function unreadable(path: string, isMissing: boolean) {
  return {
    code: 'file-not-read' as const,
    message: isMissing ? `There is no file ${path}.` : `${path} cannot be read.`,
    hint: 'Check the path, and that you may read it.',
  }
}
