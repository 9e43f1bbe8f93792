import { defineConfig } from 'vitest/config'

export default defineConfig({
  test: {
    include: ['tests/**/*.test.ts'],
    testTimeout: 30_000,
    // Whole-job tests start processes and pseudo-terminals; two workers suit small machines.
    maxWorkers: 2,
  },
})
