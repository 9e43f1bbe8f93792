import {
  closeSync,
  fsyncSync,
  openSync,
  realpathSync,
  renameSync,
  rmSync,
  statSync,
  writeFileSync,
} from 'node:fs'
import { dirname, join } from 'node:path'
import { FileError } from '../errors/index.js'

/**
 * Writes a file whole or not at all: to a temporary name beside it, synced, then renamed. A link is followed and stays;
 * a device or pipe, which cannot be replaced, is written directly.
 *
 * @throws FileError `file-not-written` naming the place and the cause
 */
export function writeFileAtomically(path: string, content: string | Uint8Array): void {
  try {
    const there = statSync(path, { throwIfNoEntry: false })
    if (there !== undefined && !there.isFile()) {
      writeFileSync(path, content)
      return
    }
    replaceFile(there === undefined ? path : realpathSync(path), content)
  } catch (cause) {
    throw new FileError(
      'file-not-written',
      `${path} could not be written: ${reason(cause)}.`,
      wayOut(cause),
      {
        cause,
      },
    )
  }
}

function replaceFile(path: string, content: string | Uint8Array): void {
  const temporary = join(dirname(path), `.tablepace-${process.pid}.part`)
  const file = openSync(temporary, 'w')
  try {
    try {
      writeFileSync(file, content)
      fsyncSync(file)
    } finally {
      closeSync(file)
    }
    renameSync(temporary, path)
  } catch (error) {
    rmSync(temporary, { force: true })
    throw error
  }
}

const REASONS: Readonly<Record<string, readonly [reason: string, wayOut: string]>> = {
  ENOENT: ['its folder is not there', 'Make the folder, or name a file in one that is there.'],
  ENOTDIR: ['its path leads through a file', 'Name a file in a folder.'],
  EISDIR: ['it is a folder', 'Name a file in it.'],
  EACCES: ['its folder may not be written', 'Name a file in a folder of your own.'],
  EPERM: ['its folder may not be written', 'Name a file in a folder of your own.'],
  EROFS: ['its disk may only be read', 'Name a file on another disk.'],
  ENOSPC: ['the disk is full', 'Make room, or name a file on another disk.'],
  EDQUOT: ['your share of the disk is used up', 'Make room, or name a file on another disk.'],
  ENAMETOOLONG: ['its name is too long', 'Choose a shorter name.'],
}

function reason(cause: unknown): string {
  return known(cause)?.[0] ?? (cause instanceof Error ? cause.message : String(cause))
}

function wayOut(cause: unknown): string {
  return known(cause)?.[1] ?? 'Check the path and try again; what was there before is unchanged.'
}

function known(cause: unknown): readonly [string, string] | undefined {
  const code = (cause as NodeJS.ErrnoException | null)?.code
  return code === undefined ? undefined : REASONS[code]
}
