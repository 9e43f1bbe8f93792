import { defineConfig } from 'vitest/config'

/** Files that start processes, open ports, drive a browser or change their own process: each gets a process of its own. */
const APART = [
  'tests/whole-jobs/**/*.test.ts',
  'tests/page/**/*.test.ts',
  'tests/campaigns/**/*.test.ts',
  'tests/ingest/port/**/*.test.ts',
  'tests/jobs/live/**/*.test.ts',
  'tests/files/**/*.test.ts',
  'tests/store/several-processes.test.ts',
  'tests/pictures/in-chromium.test.ts',
]

export default defineConfig({
  test: {
    // Far beyond what any test takes: it ends what hangs, and judges no machine's speed.
    testTimeout: 180_000,
    hookTimeout: 180_000,
    // Whole-job tests start processes; two workers suit small machines.
    maxWorkers: 2,
    projects: [
      { extends: true, test: { name: 'apart', include: APART } },
      {
        extends: true,
        test: {
          name: 'together',
          include: ['tests/**/*.test.ts'],
          exclude: APART,
          // Loading the program's modules takes as long as the tests; these files leave nothing behind in them.
          isolate: false,
        },
      },
    ],
  },
})
