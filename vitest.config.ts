import { defineConfig } from 'vitest/config'

export default defineConfig({
  test: {
    include: ['tests/**/*.test.ts'],
    // Far beyond what any test takes: it ends what hangs, and judges no machine's speed.
    testTimeout: 180_000,
    hookTimeout: 180_000,
    // Whole-job tests start processes and wait for what a readout does in real time: one more than a small machine's cores.
    maxWorkers: 3,
  },
})
