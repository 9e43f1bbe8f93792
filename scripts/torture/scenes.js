import { writeFileSync } from 'node:fs'
import { join } from 'node:path'
import { setTimeout as sleep } from 'node:timers/promises'
import * as pty from '@lydell/node-pty'
import { startProgram } from './program.js'
import { newestLines } from './store-oracle.js'

/** Lines older than this at the kill must be in the store, ms. */
const SAFE_AFTER_MS = 1000
const LINES_A_SECOND = 100
const IMPORTED_LINES = 40_000

/** Each starts the program, kills it at a random moment, and says how many lines were due and how many are lost. */
export const scenes = { live, import: importing, fit }

async function live({ store, random }) {
  const device = pty.spawn('sleep', ['1000'], { encoding: null })
  const path = device._pty
  const program = startProgram(['--store', store, 'traverse', '--dial', '4', '--port', path, '--yes'])
  const sent = []
  const playing = setInterval(() => {
    // A line that counts: the readout moves on by one digit each time.
    const text = `X+${String(sent.length)
      .padStart(7, '0')
      .replace(/(\d{4})$/, '.$1')}`
    sent.push({ text, atMs: performance.now() })
    device.write(Buffer.from(`${text}\r\n`))
  }, 1000 / LINES_A_SECOND)
  try {
    await heard(program, /Listening on/)
    // The recording has begun by now; the first line may have been cut by opening the port.
    const dueFromMs = performance.now() + 100
    await sleep(300 + 3000 * random())
    const killedMs = performance.now()
    program.child.kill('SIGKILL')
    await program.ended
    const saved = newestLines(store, path) ?? []
    const due = sent.filter(({ atMs }) => atMs >= dueFromMs && atMs < killedMs - SAFE_AFTER_MS)
    const there = new Set(saved)
    return { due: due.length, lost: due.filter(({ text }) => !there.has(text)).length }
  } finally {
    clearInterval(playing)
    device.kill()
  }
}

async function importing({ store, folder, random }) {
  const path = join(folder, 'long.jsonl')
  const texts = Array.from({ length: IMPORTED_LINES }, (_, i) => `X+${(i / 1e4).toFixed(4)}`)
  writeFileSync(path, texts.map((line, i) => `${JSON.stringify({ t: i / 50, line })}\n`).join(''))
  const program = startProgram(['--store', store, 'traverse', '--dial', '6', '--from', path])
  await sleep(100 + 1200 * random())
  program.child.kill('SIGKILL')
  await program.ended
  // The file is still there: what is in the store must be its beginning, without a hole.
  const saved = newestLines(store, path) ?? []
  return { due: saved.length, lost: saved.filter((text, i) => text !== texts[i]).length }
}

async function fit({ store, random }) {
  const program = startProgram(['--store', store, 'fit', '--reason', 'torture'])
  await sleep(100 + 900 * random())
  program.child.kill('SIGKILL')
  await program.ended
  return { due: 0, lost: 0 }
}

async function heard({ said, ended }, pattern) {
  let over = false
  void ended.then(() => {
    over = true
  })
  while (!pattern.test(said())) {
    if (over) throw new Error(`the program ended before it said ${pattern}: ${said()}`)
    await sleep(10)
  }
}
