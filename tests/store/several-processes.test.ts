import { type ChildProcess, spawn } from 'node:child_process'
import { EventEmitter, once } from 'node:events'
import { rmSync } from 'node:fs'
import { join } from 'node:path'
import { fileURLToPath } from 'node:url'
import { build } from 'esbuild'
import { afterAll, beforeAll, describe, expect, it } from 'vitest'
import { openStore } from '../../src/store/index.js'
import { addAxis, temporaryFolder } from './store-samples.js'

const ROOT = fileURLToPath(new URL('../../', import.meta.url))
const WRITER = join(ROOT, 'node_modules/.cache/tablepace-tests', `writer-${process.pid}.mjs`)

beforeAll(async () => {
  await build({
    entryPoints: [join(ROOT, 'tests/store/writer-process.ts')],
    outfile: WRITER,
    bundle: true,
    format: 'esm',
    platform: 'node',
    packages: 'external',
    logLevel: 'error',
  })
})

afterAll(() => rmSync(WRITER, { force: true }))

interface Writer {
  readonly process: ChildProcess
  /** What the process printed: `RECORDING NUMBER` a line. */
  readonly acknowledged: () => string[]
  /** Emits `news` when it printed something or ended. */
  readonly news: EventEmitter
}

function startWriter(path: string): Writer {
  const child = spawn(process.execPath, [WRITER, path], { stdio: ['ignore', 'pipe', 'inherit'] })
  const news = new EventEmitter()
  let text = ''
  child.stdout.on('data', (chunk: Buffer) => {
    text += chunk.toString()
    news.emit('news')
  })
  child.on('close', () => news.emit('news'))
  // The last line may have been cut by the kill: it counts as acknowledged only with its newline.
  return { process: child, acknowledged: () => text.split('\n').slice(0, -1), news }
}

async function kill(writer: Writer): Promise<void> {
  const closed = once(writer.process, 'close')
  writer.process.kill('SIGKILL')
  await closed
}

function emptyStore(): string {
  const path = join(temporaryFolder(), 'store.db')
  const store = openStore(path, { mode: 'write' })
  addAxis(store)
  store.close()
  return path
}

async function untilAcknowledged(writer: Writer, lines: number): Promise<void> {
  while (writer.acknowledged().length < lines) {
    if (writer.process.exitCode !== null) throw new Error(`the writer ended with ${writer.process.exitCode}`)
    await once(writer.news, 'news')
  }
}

describe('a program killed while it writes', () => {
  it('loses no line that was acknowledged, and leaves a sound store', async () => {
    const path = emptyStore()
    const acknowledged: string[] = []
    for (const delayMs of [0, 3, 11, 29, 47, 70]) {
      const writer = startWriter(path)
      await untilAcknowledged(writer, 1)
      await new Promise((resolve) => setTimeout(resolve, delayMs))
      await kill(writer)
      acknowledged.push(...writer.acknowledged())
    }
    const store = openStore(path, { mode: 'read' })
    const stored = new Set(
      store.recordings
        .list(1)
        .flatMap(({ id }) => [...store.recordings.lines(id)].map((line) => `${id} ${line.timeS}`)),
    )
    expect(acknowledged.filter((line) => !stored.has(line))).toEqual([])
    expect(store.recordings.unfinished(1)).toHaveLength(6)
    expect(store.integrityCheck()).toEqual({ sound: true, problems: [] })
    store.close()
  })
})

describe('two programs that write at once', () => {
  it('wait for each other: every line of both is there', async () => {
    const path = emptyStore()
    const writers = [startWriter(path), startWriter(path)]
    await Promise.all(writers.map((writer) => untilAcknowledged(writer, 100)))
    await Promise.all(writers.map(kill))
    const store = openStore(path, { mode: 'read' })
    for (const writer of writers) {
      const [id = ''] = writer.acknowledged()[0]?.split(' ') ?? []
      const numbers = [...store.recordings.lines(id)].map((line) => line.timeS)
      expect(numbers.length).toBeGreaterThanOrEqual(writer.acknowledged().length)
      expect(numbers).toEqual(numbers.map((_, index) => index))
    }
    store.close()
  })
})
