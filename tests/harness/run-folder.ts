import { chmodSync, mkdtempSync, rmSync, statfsSync } from 'node:fs'
import { tmpdir } from 'node:os'
import { join } from 'node:path'
import { makeLoadedByPrograms } from './standing/loaded-by-programs.ts'

/** Far more than the files of all tests together, bytes. */
const ROOM_BYTES = 2 ** 30

/**
 * Gives a run of the tests a temporary folder of its own, which goes away with all that was left in it.
 *
 * In memory where the system has such a folder with enough room, because a store waits for the disk at every change,
 * which on a slow disk takes longer than the tests.
 */
export default async function setUp(): Promise<() => void> {
  const folder = mkdtempSync(join(inMemory() ?? tmpdir(), 'tablepace-tests-'))
  // Some tests go on as another user of the computer, who has to get this far.
  chmodSync(folder, 0o755)
  process.env.TMPDIR = folder
  await makeLoadedByPrograms()
  return () => rmSync(folder, { recursive: true, force: true })
}

function inMemory(): string | null {
  try {
    const { bavail, bsize } = statfsSync('/dev/shm')
    return bavail * bsize > ROOM_BYTES ? '/dev/shm' : null
  } catch {
    return null
  }
}
