// Runs the demo, the store's tests and a test on a real pseudo-terminal under several releases of Node, and prints what
// came of each. Needs `npm ci` and a build; takes the releases from the package registry, where each is a package.
// Ends with 1 where anything failed.
import { spawnSync } from 'node:child_process'
import { existsSync, mkdirSync, mkdtempSync, readFileSync, rmSync, writeFileSync } from 'node:fs'
import { tmpdir } from 'node:os'
import { join } from 'node:path'
import { fileURLToPath } from 'node:url'

/** Supported now, and what comes: https://github.com/nodejs/release. */
const RELEASES = process.argv.length > 2 ? process.argv.slice(2) : ['22', '24', '26']
const ROOT = fileURLToPath(new URL('..', import.meta.url))
const KEPT = join(ROOT, 'node_modules/.cache/releases')
const PTY_TEST = 'tests/whole-jobs/live/live-port.test.ts'

const rows = RELEASES.map((release) => {
  const node = nodeOf(release)
  const { stdout: version } = run(node, ['--version'])
  console.error(`Node ${version.trim()} …`)
  return { version: version.trim(), results: [demo(node), tests(node, 'tests/store'), tests(node, PTY_TEST)] }
})
console.table(
  rows.map(({ version, results: [demo, store, pty] }) => ({
    Node: version,
    demo: demo.text,
    'tests of the store': store.text,
    'live port on a pseudo-terminal': pty.text,
  })),
)
if (rows.some(({ results }) => results.some(({ good }) => !good))) process.exitCode = 1

/** The program of a release, fetched once and kept. */
function nodeOf(release) {
  const system = process.platform === 'win32' ? 'win' : process.platform
  const name = `node-${system}-${process.arch}`
  const folder = join(KEPT, release)
  const program = join(
    folder,
    'node_modules',
    name,
    'bin',
    process.platform === 'win32' ? 'node.exe' : 'node',
  )
  if (existsSync(program)) return program
  mkdirSync(folder, { recursive: true })
  writeFileSync(join(folder, 'package.json'), '{ "private": true }\n')
  const npm = process.platform === 'win32' ? 'npm.cmd' : 'npm'
  const { status, stderr } = run(npm, ['install', '--no-audit', '--no-fund', `${name}@${release}`], {
    cwd: folder,
  })
  if (status !== 0) throw new Error(`Node ${release} could not be fetched:\n${stderr}`)
  return program
}

/** The whole main job through the built program. */
function demo(node) {
  const store = mkdtempSync(join(tmpdir(), 'tablepace-release-'))
  const { status, signal, seconds } = run(node, [
    'dist/tablepace.js',
    'demo',
    '--store',
    join(store, 'store.db'),
  ])
  rmSync(store, { recursive: true, force: true })
  const good = status === 0
  return { good, text: good ? `runs (${seconds} s)` : `ends with ${signal ?? status}` }
}

function tests(node, path) {
  const folder = mkdtempSync(join(tmpdir(), 'tablepace-release-'))
  const report = join(folder, 'report.json')
  const vitest = ['node_modules/vitest/vitest.mjs', 'run', path, '--maxWorkers=1']
  const { status, signal, seconds } = run(node, [...vitest, '--reporter=json', `--outputFile=${report}`])
  const counts = existsSync(report) ? JSON.parse(readFileSync(report, 'utf8')) : null
  rmSync(folder, { recursive: true, force: true })
  if (counts === null) return { good: false, text: `ends with ${signal ?? status}` }
  const { numPassedTests: passed, numFailedTests: failed, numPendingTests: skipped } = counts
  const rest = [failed > 0 && `${failed} failed`, skipped > 0 && `${skipped} skipped`].filter(Boolean)
  return { good: status === 0 && passed > 0, text: [`${passed} pass`, ...rest, `${seconds} s`].join(', ') }
}

function run(program, args, options = {}) {
  const began = performance.now()
  const result = spawnSync(program, args, {
    cwd: ROOT,
    encoding: 'utf8',
    maxBuffer: 2 ** 28,
    shell: program.endsWith('.cmd'),
    ...options,
  })
  return { ...result, seconds: ((performance.now() - began) / 1000).toFixed(0) }
}
