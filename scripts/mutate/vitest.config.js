import { fileURLToPath } from 'node:url'
import { defineConfig } from 'vitest/config'

// Hands vitest one source file as a mutant has it; the file itself is left alone.
const { path, source } = JSON.parse(process.env.TABLEPACE_MUTANT ?? '{}')
const root = fileURLToPath(new URL('../..', import.meta.url))

export default defineConfig({
  root,
  test: {
    include: ['tests/**/*.test.ts'],
    testTimeout: 60_000,
    globalSetup: 'tests/harness/run-folder.ts',
  },
  plugins: [
    {
      name: 'mutant',
      enforce: 'pre',
      load(id) {
        return id.split('?')[0] === root + path ? source : null
      },
    },
  ],
})
