import { closeSync, linkSync, lstatSync, openSync, renameSync, rmSync } from 'node:fs'

/** What systems say where a disk knows no hard links. */
const NO_LINKS: ReadonlySet<string> = new Set(['EPERM', 'ENOTSUP', 'EOPNOTSUPP', 'ENOSYS', 'EMLINK'])

/**
 * Gives a file another name, which nothing may have yet: unlike a rename it fails with `EEXIST` where a file was made
 * there meanwhile. Where the disk knows no hard links the file is moved, and its first name is gone.
 */
export function giveName(file: string, name: string): void {
  try {
    linkSync(file, name)
  } catch (error) {
    if (!NO_LINKS.has((error as NodeJS.ErrnoException).code ?? '')) throw error
    // Takes the name for us, so that what the rename replaces is our own empty file.
    closeSync(openSync(name, 'wx', 0o600))
    try {
      renameSync(file, name)
    } catch (failure) {
      rmSync(name, { force: true })
      throw failure
    }
  }
}

/**
 * The first of `name`, `name-2`, `name-3` and so on that nothing has, neither as it is nor with one of these endings.
 */
export function freeName(name: string, endings: readonly string[] = []): string {
  const isTaken = (tried: string): boolean =>
    ['', ...endings].some((ending) => lstatSync(tried + ending, { throwIfNoEntry: false }) !== undefined)
  let free = name
  for (let count = 2; isTaken(free); count += 1) free = `${name}-${count}`
  return free
}
