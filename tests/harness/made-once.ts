import { cpSync, mkdtempSync, rmSync } from 'node:fs'
import { tmpdir } from 'node:os'
import { join } from 'node:path'
import { afterAll } from 'vitest'
import { temporaryFolder } from './program.js'

/**
 * A folder that is made once for all tests of a file, each of which gets a copy of its own: a store is copied in no
 * time, while every call of the program that filled it takes a fifth of a second, and a fit takes one.
 *
 * @param make fills the folder; what it returns is given with every copy
 */
export function madeOnce<T>(
  make: (folder: string) => Promise<T>,
): () => Promise<{ readonly folder: string; readonly made: T }> {
  const shared = mkdtempSync(join(tmpdir(), 'tablepace-test-'))
  afterAll(() => rmSync(shared, { recursive: true, force: true }))
  let making: Promise<T> | undefined
  return async () => {
    making ??= make(shared)
    const made = await making
    const folder = temporaryFolder()
    cpSync(shared, folder, { recursive: true })
    return { folder, made }
  }
}
