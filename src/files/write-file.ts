import {
  closeSync,
  constants,
  fchmodSync,
  fstatSync,
  fsyncSync,
  lstatSync,
  mkdirSync,
  openSync,
  renameSync,
  rmSync,
  type Stats,
  statSync,
  writeFileSync,
} from 'node:fs'
import { createRequire } from 'node:module'
import { dirname, join } from 'node:path'
import { TablepaceError } from '../errors/index.js'
import { fileExists, fileIsStore, fileNotWritten } from './file-errors.js'
import { giveName } from './give-name.js'
import { finalPath, isOfStore } from './same-file.js'

/** Rights of what was measured: its owner alone may read it. */
const OWNER_ONLY = 0o600
/**
 * Rights of what is made to be passed on, by the usual convention of Unix; the user's own mask takes away from
 * them (common practice).
 */
const SHARED = 0o666

/** Where a file goes and what may give way to it. */
export interface Destination {
  readonly path: string
  /** Whether a file that is there may be replaced. */
  readonly force: boolean
  /** The store in use, or null: it and the files that SQLite keeps beside it never give way, whatever `force` says. */
  readonly store: string | null
  /** Readable by its owner alone. */
  readonly ownerOnly?: boolean
}

/**
 * Writes a file whole or not at all; a device or pipe, which cannot be replaced, is written directly. With `force` a
 * link is followed and stays.
 *
 * @throws UsageError `file-exists`, `file-is-store`; FileError `file-not-written` naming the place and the cause
 */
export function writeFile(to: Destination, content: string | Uint8Array): void {
  refuseTaken(to)
  const there = whatIsAt(to.path)
  if (there !== undefined && isStream(there)) writeStream(to.path, content)
  else makeFile(to, (file) => writeFileSync(file, content))
}

/**
 * Makes a file whole or not at all: under a random name beside its own, synced, then given its own name.
 *
 * @param fill writes the content into the open file, or by the path of the temporary one; what it throws ends it
 * @throws as `writeFile`, and what `fill` throws
 */
export function makeFile(to: Destination, fill: (file: number, temporary: string) => void): void {
  refuseTaken(to)
  const replaced = whatIsAt(to.path)
  if (replaced !== undefined && isStream(replaced)) throw fileNotWritten(to.path, codeOnly('ENXIO'))
  const path = finalPath(to.path)
  try {
    throughTemporary(
      path,
      to.ownerOnly ? OWNER_ONLY : SHARED,
      (file, temporary) => {
        if (replaced?.isFile() && !to.ownerOnly) fchmodSync(file, replaced.mode & 0o777)
        fill(file, temporary)
      },
      (temporary) => {
        if (to.force) renameSync(temporary, path)
        else giveName(temporary, path)
      },
    )
  } catch (cause) {
    if (cause instanceof TablepaceError) throw cause
    if ((cause as NodeJS.ErrnoException).code === 'EEXIST') throw fileExists(to.path)
    throw fileNotWritten(to.path, cause)
  }
}

/**
 * Makes a file beside `path` under a name nobody can know beforehand, has it filled and synced, and hands it over to be
 * given its place. Whatever happens, nothing stays under the temporary name.
 */
function throughTemporary(
  path: string,
  rights: number,
  fill: (file: number, temporary: string) => void,
  place: (temporary: string) => void,
): void {
  const temporary = join(dirname(path), `.tablepace-${randomName()}.part`)
  const file = openFresh(temporary, rights)
  try {
    try {
      fill(file, temporary)
      fsyncSync(file)
    } finally {
      closeSync(file)
    }
    place(temporary)
  } finally {
    rmSync(temporary, { force: true })
  }
}

/** Opens a new file for writing; one that is there, or a link laid in its place, makes it fail. */
export function openFresh(path: string, rights: number): number {
  const { O_WRONLY, O_CREAT, O_EXCL, O_NOFOLLOW = 0 } = constants
  return openSync(path, O_WRONLY | O_CREAT | O_EXCL | O_NOFOLLOW, rights)
}

/**
 * Refuses a destination that something else has.
 * @throws UsageError `file-exists`, `file-is-store`; FileError `file-not-written` for a folder and the like
 */
export function refuseTaken({ path, force, store }: Destination): void {
  if (store !== null && isOfStore(path, store)) throw fileIsStore(path)
  const there = whatIsAt(path)
  if (there === undefined || isStream(there)) return
  if (there.isDirectory()) throw fileNotWritten(path, codeOnly('EISDIR'))
  if (!there.isFile() && !there.isSymbolicLink()) throw fileNotWritten(path, codeOnly('ENXIO'))
  if (!force) throw fileExists(path)
}

/** What a path leads to; the link itself where it leads nowhere, undefined where there is nothing. */
function whatIsAt(path: string): Stats | undefined {
  try {
    return statSync(path, { throwIfNoEntry: false }) ?? lstatSync(path, { throwIfNoEntry: false })
  } catch (cause) {
    throw fileNotWritten(path, cause)
  }
}

/** Whether it takes what is written without keeping it, as a terminal, a pipe or the empty device does. */
function isStream(there: Stats): boolean {
  return there.isCharacterDevice() || there.isFIFO()
}

function writeStream(path: string, content: string | Uint8Array): void {
  const { O_WRONLY, O_NOCTTY = 0 } = constants
  try {
    const file = openSync(path, O_WRONLY | O_NOCTTY)
    try {
      // Another thing may have taken its place since it was looked at.
      if (!isStream(fstatSync(file))) throw codeOnly('EBUSY')
      writeFileSync(file, content)
    } finally {
      closeSync(file)
    }
  } catch (cause) {
    throw fileNotWritten(path, cause)
  }
}

function codeOnly(code: string): NodeJS.ErrnoException {
  return Object.assign(new Error(code), { code })
}

/** Makes a folder, with those it lies in, that its owner alone may look into; one that is there stays as it is. */
export function makeOwnFolder(path: string): void {
  mkdirSync(path, { recursive: true, mode: 0o700 })
}

/** A name that nobody can foresee. */
function randomName(): string {
  // Loaded here, because a lookup writes no file and would wait for it.
  const { randomBytes } = createRequire(import.meta.url)('node:crypto') as typeof import('node:crypto')
  return randomBytes(12).toString('hex')
}
