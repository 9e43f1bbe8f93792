import { cpSync, mkdtempSync } from 'node:fs'
import { tmpdir } from 'node:os'
import { join } from 'node:path'
import { temporaryFolder } from './program.js'

/**
 * A folder that is made once for all tests that ask for it, in one file or several; each gets a copy of its own, and the
 * first goes away with the run. A store is copied in no time, while a call of the program that fills one takes a tenth
 * of a second, and a fit takes one.
 *
 * @param make fills the folder; what it returns is given with every copy
 */
export function madeOnce<T>(
  make: (folder: string) => Promise<T>,
): () => Promise<{ readonly folder: string; readonly made: T }> {
  const shared = mkdtempSync(join(tmpdir(), 'tablepace-test-'))
  let making: Promise<T> | undefined
  return async () => {
    making ??= make(shared)
    const made = await making
    const folder = temporaryFolder()
    cpSync(shared, folder, { recursive: true })
    return { folder, made }
  }
}
