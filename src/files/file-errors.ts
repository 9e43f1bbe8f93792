import { FileError, sentence, UsageError, way } from '../errors/index.js'

/** The refusal to write over what is there. */
export function fileExists(path: string): UsageError {
  return new UsageError(
    'file-exists',
    `${path} is already there, and nothing is replaced unless you say so.`,
    sentence`Choose another name, or replace what is there${way('overwrite')}.`,
  )
}

/** The refusal to write over the store, which --force does not lift. */
export function fileIsStore(path: string): UsageError {
  return new UsageError(
    'file-is-store',
    `${path} is the store itself or one of its files, and all that was measured is in it.`,
    'Choose another name; the store is never replaced.',
  )
}

/** What a failed write is told as; errors that already say it stay as they are. */
export function fileNotWritten(path: string, cause: unknown): FileError {
  const known = REASONS[(cause as NodeJS.ErrnoException | null)?.code ?? '']
  const reason = known?.[0] ?? (cause instanceof Error ? cause.message : String(cause))
  const wayOut = known?.[1] ?? 'Check the path and try again; what was there before is unchanged.'
  return new FileError('file-not-written', `${path} could not be written: ${reason}.`, wayOut, { cause })
}

const REASONS: Readonly<Record<string, readonly [reason: string, wayOut: string]>> = {
  ENOENT: ['its folder is not there', 'Make the folder, or name a file in one that is there.'],
  ENOTDIR: ['its path leads through a file', 'Name a file in a folder.'],
  EISDIR: ['it is a folder', 'Name a file in it.'],
  EACCES: ['you may not write to its folder', 'Name a file in a folder of your own.'],
  EPERM: ['you may not write to its folder', 'Name a file in a folder of your own.'],
  EROFS: ['its disk is read-only', 'Name a file on another disk.'],
  ENOSPC: ['the disk is full', 'Make room, or name a file on another disk.'],
  EDQUOT: ['your share of the disk is used up', 'Make room, or name a file on another disk.'],
  ENAMETOOLONG: ['its name is too long', 'Choose a shorter name.'],
  ENXIO: ['it is not an ordinary file', 'Name an ordinary file.'],
  EBUSY: ['something else took its place meanwhile', 'Try again.'],
  ELOOP: ['its links lead in a circle', 'Name another file.'],
}
