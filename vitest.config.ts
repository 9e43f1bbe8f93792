import { defineConfig } from 'vitest/config'

export default defineConfig({
  test: {
    // Far beyond what any test takes: it ends what hangs, and judges no machine's speed.
    testTimeout: 300_000,
    hookTimeout: 300_000,
    expect: { poll: { timeout: 120_000 } },
    // Whole-job tests start processes; two workers suit small machines.
    maxWorkers: 2,
    globalSetup: 'tests/harness/run-folder.ts',
    // Loading the modules anew for every file would take as long as the tests. So a test leaves behind nothing in them,
    // nor in its process: what it changes there (variables, the user, the clock) it puts back when it is over.
    isolate: false,
  },
})
