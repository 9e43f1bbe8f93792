import { type SpawnSyncReturns, spawn, spawnSync } from 'node:child_process'
import { copyFileSync, cpSync, mkdirSync, symlinkSync, writeFileSync } from 'node:fs'
import { delimiter, join, resolve } from 'node:path'
import * as pty from '@lydell/node-pty'
import { describe, expect, it } from 'vitest'
import { temporaryFolder } from '../../harness/program.js'

const PROGRAM = resolve('dist/tablepace.js')

/** A Node on this machine that is too old for the program, or null. */
function findOldNode(): string | null {
  const folders = (process.env.PATH ?? '')
    .split(delimiter)
    .filter((folder) => !folder.includes('node_modules'))
  for (const folder of folders) {
    const node = join(folder, 'node')
    const { stdout } = spawnSync(node, ['--version'], { encoding: 'utf8' })
    if (/^v(18|20|21)\./.test(stdout ?? '')) return node
  }
  return null
}

const OLD_NODE = findOldNode()

function underOldNode(program: string, ...args: string[]): SpawnSyncReturns<string> {
  return spawnSync(OLD_NODE!, [program, ...args], {
    encoding: 'utf8',
    env: { ...process.env, NO_COLOR: '1' },
  })
}

/** The program's entry with something to start that ends with the number of interrupts it got. */
function countingProgram(): string {
  const folder = temporaryFolder()
  cpSync('dist', join(folder, 'dist'), { recursive: true })
  copyFileSync('package.json', join(folder, 'package.json'))
  symlinkSync(resolve('node_modules'), join(folder, 'node_modules'))
  const entry = join(folder, 'dist/tablepace.js')
  writeFileSync(
    join(folder, 'dist/program.cjs'),
    `exports.runProgram = async () => {
      let interrupts = 0
      process.on('SIGINT', () => {
        interrupts += 1
        console.log('interrupted')
      })
      console.log('ready')
      await new Promise((done) => process.once('SIGTERM', done).stdin.resume())
      process.exit(interrupts)
    }`,
  )
  return entry
}

/** The page's address, once the program has told it. */
function pageOf(child: ReturnType<typeof serveUnderOldNode>): Promise<string> {
  return new Promise((done, fail) => {
    child.stdout.once('data', (data) => done(String(data)))
    child.once('exit', (code) => fail(new Error(`ended with ${code}`)))
  })
}

function serveUnderOldNode(store: string) {
  // In a session of its own it has no terminal that a key could come from.
  return spawn(OLD_NODE!, [PROGRAM, '--store', store, 'serve', '--port', '0', '--json'], {
    detached: true,
    stdio: ['ignore', 'pipe', 'ignore'],
  })
}

describe.skipIf(OLD_NODE === null)('the program on a Node that is too old', () => {
  it('goes on under the Node of the clone, also through a link, with its streams and exit code', () => {
    const folder = temporaryFolder()
    const store = join(folder, 'store.db')
    const linked = join(folder, 'tablepace')
    symlinkSync(PROGRAM, linked)
    expect(underOldNode(PROGRAM, '--store', store, 'machine', 'add', 'Bench', '--units', 'in').status).toBe(0)
    const listed = underOldNode(linked, '--store', store, 'machine', 'list')
    expect(listed.stdout).toContain('Bench')
    const asked = underOldNode(linked, '--store', store, 'feed', '3', '--json')
    expect(asked.status).toBe(2)
    expect(JSON.parse(asked.stderr).error.code).toBe('unknown-axis')
  })

  it('gets Ctrl-C once, which reaches every process of a terminal by itself', async () => {
    const terminal = pty.spawn(OLD_NODE!, [countingProgram()], {})
    let shown = ''
    let told = 0
    terminal.onData((data) => {
      shown += data
      if (told === 0 && /ready/.test(shown)) {
        told = 1
        terminal.write('\u0003')
      }
      // What was passed on before this one has arrived before this one.
      if (told === 1 && /interrupted/.test(shown)) {
        told = 2
        process.kill(terminal.pid, 'SIGTERM')
      }
    })
    expect(await new Promise((done) => terminal.onExit(({ exitCode }) => done(exitCode)))).toBe(1)
  })

  it.each(['SIGINT', 'SIGTERM'] as const)('passes on %s where no key can have sent it', async (signal) => {
    const child = serveUnderOldNode(join(temporaryFolder(), 's.db'))
    await pageOf(child)
    const ended = new Promise((done) => child.once('exit', (code, by) => done([code, by])))
    child.kill(signal)
    expect(await ended).toEqual([0, null])
  })

  it('ends by the signal that ended the program', async () => {
    const store = join(temporaryFolder(), 's.db')
    const child = serveUnderOldNode(store)
    await pageOf(child)
    const ended = new Promise((done) => child.once('exit', (code, by) => done([code, by])))
    child.kill('SIGHUP')
    expect(await ended).toEqual([null, 'SIGHUP'])
  })

  it('says what to install where it brings no Node along', () => {
    const folder = temporaryFolder()
    mkdirSync(join(folder, 'dist'))
    copyFileSync('package.json', join(folder, 'package.json'))
    cpSync('dist', join(folder, 'dist'), { recursive: true })
    const program = join(folder, 'dist/tablepace.js')
    const told = underOldNode(program, 'dial', '7')
    expect(told.status).toBe(2)
    expect(told.stderr).toMatch(
      /^tablepace: This is Node\.js \d+\.\d+\.\d+; tablepace needs version 22 or later\.\n {2}Install .*\n$/,
    )
    expect(JSON.parse(underOldNode(program, 'dial', '7', '--json').stderr).error.code).toBe('node-too-old')
  })
})
