import { statfsSync } from 'node:fs'
import { tmpdir } from 'node:os'
import { defineConfig } from 'vitest/config'

/** Far more than the files of all tests together, bytes. */
const ROOM_BYTES = 2 ** 30

/**
 * Where tests write their files: in memory where the system has such a folder with enough room, because a store waits
 * for the disk at every change, which on a slow disk takes longer than the tests.
 */
function temporaryFolder(): string {
  try {
    const { bavail, bsize } = statfsSync('/dev/shm')
    return bavail * bsize > ROOM_BYTES ? '/dev/shm' : tmpdir()
  } catch {
    return tmpdir()
  }
}

export default defineConfig({
  test: {
    // Far beyond what any test takes: it ends what hangs, and judges no machine's speed.
    testTimeout: 300_000,
    hookTimeout: 300_000,
    expect: { poll: { timeout: 120_000 } },
    // Whole-job tests start processes; two workers suit small machines.
    maxWorkers: 2,
    env: { TMPDIR: temporaryFolder() },
    // Loading the modules anew for every file would take as long as the tests. So a test leaves behind nothing in them,
    // nor in its process: what it changes there (variables, the user, the clock) it puts back when it is over.
    isolate: false,
  },
})
