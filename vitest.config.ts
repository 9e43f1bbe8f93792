import { defineConfig } from 'vitest/config'

export default defineConfig({
  test: {
    include: ['tests/**/*.test.ts'],
    // Far beyond what any test takes: it ends what hangs, and judges no machine's speed.
    testTimeout: 180_000,
    hookTimeout: 180_000,
    // Whole-job tests start processes; two workers suit small machines.
    maxWorkers: 2,
  },
})
