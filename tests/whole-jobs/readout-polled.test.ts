import { writeFileSync } from 'node:fs'
import { join } from 'node:path'
import { setTimeout as sleep } from 'node:timers/promises'
import { describe, expect, it, onTestFinished } from 'vitest'
import { QUILLFEN_MILL, simulateRun } from '../../src/simulation/index.js'
import { programOn, runProgram, temporaryFolder } from '../harness/program.js'
import { openPtyReadout } from '../harness/pty-readout.js'

const REQUEST = '?\r'
/** How long this readout takes from the request to its reading, and from there to the answer, ms. */
const TO_READING_MS = 4
const TO_ANSWER_MS = 4

/** A readout that is asked, watching a simulated traverse that begins with the first request. */
function askedReadout(travelS: number) {
  const dial = 8
  const { motion, truth } = simulateRun(
    QUILLFEN_MILL,
    {
      dial,
      direction: 1,
      drivenMm: (QUILLFEN_MILL.curve(dial) * travelS) / 60,
      restBeforeS: 1,
      restAfterS: 5,
    },
    31,
  )
  let startedMs: number | null = null
  let open = 0
  let mostOpen = 0
  let unknown = ''
  let asked = 0
  const device = openPtyReadout(async (text) => {
    for (const request of text.match(/\?\r|[\s\S]/g) ?? []) {
      if (request !== REQUEST) {
        unknown += request
        continue
      }
      asked += 1
      open += 1
      mostOpen = Math.max(mostOpen, open)
      startedMs ??= performance.now()
      await sleep(TO_READING_MS)
      const timeS = Math.min(motion.durationS, (performance.now() - startedMs) / 1000)
      const inches = motion.positionMmAt(timeS) / 25.4
      await sleep(TO_ANSWER_MS)
      open -= 1
      // Now and then it does not answer.
      if (asked % 40 !== 39)
        device.write(`X${inches < 0 ? '-' : '+'}${inches.toFixed(4).padStart(8, '0')}\r\n`)
    }
  })
  onTestFinished(() => device.close())
  return { path: device.path, vanish: device.vanish, truth, seen: () => ({ asked, mostOpen, unknown }) }
}

function profileFile(): string {
  const path = join(temporaryFolder(), 'asked.json')
  const profile = {
    name: 'asked',
    description: 'Sends one labelled line when asked.',
    examples: ['X+001.2345'],
    axes: [{ axis: '*', label: '*' }],
    decimalMark: 'point',
    separators: [],
    unit: 'in',
    serial: { baudRate: 19200 },
    request: '?\\r',
    intervalS: 0.04,
    answerTimeoutS: 0.1,
  }
  writeFileSync(path, JSON.stringify(profile))
  return path
}

describe('a readout that speaks only when asked', () => {
  it('is asked by traverse --port through its profile, and gives the true feed', async () => {
    const tablepace = programOn(join(temporaryFolder(), 'store.db'))
    await tablepace.json('machine', 'add', 'Bench', '--units', 'in')
    await tablepace.json('axis', 'add', 'X', '--travel', '21in', '--dial', '0..10', '--marks', '4,8')
    const readout = askedReadout(2.5)
    const { exitCode, stdout, stderr } = await tablepace.run(
      ...['traverse', '--dial', '8', '--port', readout.path, '--readout', profileFile(), '--yes', '--json'],
    )
    expect(exitCode, stderr).toBe(0)
    const { runs } = JSON.parse(stdout) as { runs: { accepted: boolean; feed: { value: number } }[] }
    expect(runs).toHaveLength(1)
    expect(runs[0]!.accepted).toBe(true)
    // A real host stamps these lines: a few tenths of a percent over 5 s.
    const trueFeed = readout.truth.runFeedMmPerMin / 25.4
    expect(Math.abs(runs[0]!.feed.value / trueFeed - 1)).toBeLessThan(0.01)
    expect(readout.seen()).toMatchObject({ mostOpen: 1, unknown: '' })
  }, 40_000)

  it('is asked by calibrate --port as well', async () => {
    const tablepace = programOn(join(temporaryFolder(), 'store.db'))
    await tablepace.json('machine', 'add', 'Bench', '--units', 'in')
    await tablepace.json('axis', 'add', 'X', '--travel', '21in', '--dial', '0..10', '--marks', '8')
    const readout = askedReadout(2)
    const ended = tablepace.run(
      ...['calibrate', '--procedure', 'quick', '--port', readout.path, '--readout', profileFile()],
      ...['--yes', '--wait', '0s'],
    )
    const until = performance.now() + 25_000
    let stored: { runs: { accepted: boolean }[] } = { runs: [] }
    while (stored.runs.length === 0 && performance.now() < until) {
      await sleep(300)
      stored = await tablepace.json('runs')
    }
    expect(stored.runs).toMatchObject([{ accepted: true }])
    expect(readout.seen()).toMatchObject({ mostOpen: 1, unknown: '' })
    readout.vanish()
    expect((await ended).exitCode).toBe(5)
  }, 60_000)

  it('is watched, with its answers counted and the width of its stamps told', async () => {
    const readout = askedReadout(2.5)
    const { exitCode, stdout, stderr } = await runProgram([
      ...['readout', 'watch', '--port', readout.path, '--readout', profileFile(), '--for', '3s', '--json'],
    ])
    expect(exitCode, stderr).toBe(0)
    const { polling, lines } = JSON.parse(stdout) as {
      polling: { requests: number; answers: number; late: number; missing: number; halfRoundTripS: number }
      lines: { used: number }
    }
    expect(polling.requests).toBeGreaterThan(40)
    expect(polling.missing).toBeGreaterThanOrEqual(1)
    expect(polling.requests - polling.answers - polling.late - polling.missing).toBeLessThanOrEqual(1)
    expect(lines.used).toBeGreaterThan(35)
    expect(polling.halfRoundTripS).toBeGreaterThan(0.003)
    expect(polling.halfRoundTripS).toBeLessThan(0.04)
  }, 20_000)
})
