// The statistical tests with as many simulations as their bounds were set with; `npm test` runs them in the short.
import { spawnSync } from 'node:child_process'

const INGEST = ['lines', 'clock', 'film', 'learn', 'damaged-lines'].map((one) => `ingest/${one}`)
const FOLDERS = ['proof', 'regression', 'traverse', 'store/merge', 'planning', ...INGEST]
const { status } = spawnSync(
  process.execPath,
  [
    'node_modules/vitest/vitest.mjs',
    'run',
    ...FOLDERS.map((folder) => `tests/${folder}`),
    ...process.argv.slice(2),
  ],
  { stdio: 'inherit', env: { ...process.env, TABLEPACE_SIMULATIONS: 'long' } },
)
process.exitCode = status ?? 1
