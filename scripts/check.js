// Checks the sources without running them: lint and format, the types of the program, the types of the page. All at once,
// as each of them has stretches that keep one processor busy and no more. `node scripts/check.js types` checks types alone.
import { execFile } from 'node:child_process'
import { createRequire } from 'node:module'
import { dirname, join } from 'node:path'
import { fileURLToPath } from 'node:url'

const root = fileURLToPath(new URL('..', import.meta.url))
const require = createRequire(import.meta.url)

/** Where an installed package keeps a program of its own. */
const program = (name, path) => join(dirname(require.resolve(`${name}/package.json`)), path)
const biome = program('@biomejs/biome', 'bin/biome')
const tsc = program('typescript', 'bin/tsc')

/** What the compiler learned is kept, so that the next check looks at what has changed. One thread each, as there are two compilers. */
const types = (name, ...options) => {
  const kept = join('node_modules', '.cache', 'tsc', `${name}.tsbuildinfo`)
  return [
    tsc,
    '--noEmit',
    '--pretty',
    '--checkers',
    '1',
    '--incremental',
    '--tsBuildInfoFile',
    kept,
    ...options,
  ]
}

const CHECKS = {
  lint: [[biome, 'check', '.', ...(process.stdout.isTTY ? ['--colors=force'] : [])]],
  types: [types('all'), types('client', '-p', join('src', 'page', 'client'))],
}

/**
 * How much the compiler may leave behind before it cleans up, in percent of what it needs: the compiler is written in Go,
 * whose own 100 % cost an eighth of its time (both compilers, by processor time) and save memory that a computer has.
 */
const env = { GOGC: '400', ...process.env }

const asked = process.argv.slice(2)
const checks = Object.entries(CHECKS).flatMap(([name, commands]) =>
  asked.length === 0 || asked.includes(name) ? commands : [],
)
await Promise.all(checks.map(check))

/** Runs a check, shows what it said when it is over, and lets this script fail with it. */
function check(command) {
  return new Promise((done) => {
    execFile(process.execPath, command, { cwd: root, env, maxBuffer: 2 ** 28 }, (error, stdout, stderr) => {
      process.stdout.write(stdout)
      process.stderr.write(stderr)
      if (error !== null) process.exitCode = 1
      done()
    })
  })
}
