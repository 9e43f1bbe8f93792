import { type BigIntStats, lstatSync, readlinkSync, realpathSync, statSync } from 'node:fs'
import { basename, dirname, isAbsolute, join } from 'node:path'

/** What SQLite keeps beside a database: the write-ahead log, its index, and the rollback journal. */
export const COMPANION_SUFFIXES = ['-wal', '-shm', '-journal'] as const

/**
 * Whether a path leads to the store or to one of the files that SQLite keeps beside it, by whatever name: another
 * spelling, a symbolic link, a hard link. Where a file is not there yet, only names can be compared; capitals are then
 * left aside, because many disks do so too.
 */
export function isOfStore(path: string, store: string): boolean {
  const names = new Set([store, finalPath(store)])
  return [...names].some((name) => ['', ...COMPANION_SUFFIXES].some((suffix) => isSame(path, name + suffix)))
}

/** Whether two paths lead to one file. */
function isSame(one: string, other: string): boolean {
  const [a, b] = [one, other].map(numbersOf)
  if (a && b) return a.dev === b.dev && a.ino === b.ino
  return folded(one) === folded(other)
}

/** Device and file number, which all names of a file share; null where nothing is found. */
function numbersOf(path: string): BigIntStats | null {
  try {
    return statSync(path, { bigint: true })
  } catch {
    return null
  }
}

function folded(path: string): string {
  return finalPath(path).normalize('NFC').toLowerCase()
}

/** Links after which a chain is given up (source: Linux, path_resolution(7), refuses longer ones). */
const MOST_LINKS = 40

/**
 * Where a path leads once every link in it is followed, also where there is no file yet. The system follows links before
 * it takes `..` away, so nothing is shortened by spelling alone.
 */
export function finalPath(path: string, links = 0): string {
  try {
    return realpathSync.native(path)
  } catch {
    const parent = dirname(path)
    if (parent === path) return path
    const target = links < MOST_LINKS ? linkTarget(path) : null
    if (target === null) return join(finalPath(parent, links), basename(path))
    return finalPath(isAbsolute(target) ? target : `${parent}/${target}`, links + 1)
  }
}

function linkTarget(path: string): string | null {
  try {
    return lstatSync(path).isSymbolicLink() ? readlinkSync(path) : null
  } catch {
    return null
  }
}
