import { writeFileSync } from 'node:fs'
import { join } from 'node:path'
import { setImmediate as nextTurn } from 'node:timers/promises'
import { describe, expect, it, onTestFinished } from 'vitest'
import { QUILLFEN_MILL, simulateRun } from '../../../src/simulation/index.js'
import { playedTime } from '../../harness/live/played-time.js'
import { openPtyReadout } from '../../harness/live/pty-readout.js'
import { programOn, startProgram, temporaryFolder } from '../../harness/program.js'

const REQUEST = 'SEND\r'
/** How long this readout takes from the request to its reading, and from there to the answer, s. */
const TO_READING_S = 0.004
const TO_ANSWER_S = 0.004
/** The program waits so long before its first request, s. */
const SETTLE_S = 0.2
/** So that a request which is due is past its time, s. */
const A_MOMENT_S = 0.001

/** The program asks again so long after a request that was answered; one that was not it waits for twice so long, s. */
const INTERVAL_S = 0.04
const TIMEOUT_S = 0.1

/** A readout that is asked, watching a simulated traverse that begins with the first request; in played time. */
function askedReadout(travelS: number) {
  const dial = 8
  const time = playedTime()
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
  let playedS = 0
  let open = 0
  let mostOpen = 0
  let unknown = ''
  let asked = 0
  const pass = (seconds: number): void => {
    playedS += seconds
    void device.startTime()(seconds)
  }
  const onRequest = async (text: string): Promise<void> => {
    for (const request of text.match(/SEND\r|[\s\S]/g) ?? []) {
      if (request !== REQUEST) {
        unknown += request
        continue
      }
      asked += 1
      open += 1
      mostOpen = Math.max(mostOpen, open)
      pass(TO_READING_S)
      const inches = motion.positionMmAt(Math.min(motion.durationS, playedS)) / 25.4
      // A request that came too early would be here by now.
      await nextTurn()
      pass(TO_ANSWER_S)
      open -= 1
      // Now and then it does not answer.
      const answers = asked % 40 !== 39
      if (answers) device.write(`X${inches < 0 ? '-' : '+'}${inches.toFixed(4).padStart(8, '0')}\r\n`)
      pass((answers ? INTERVAL_S : 2 * TIMEOUT_S) - TO_READING_S - TO_ANSWER_S + A_MOMENT_S)
    }
  }
  const device = openPtyReadout({ onRequest, time })
  onTestFinished(() => device.close())
  return {
    path: device.path,
    env: time.env,
    /** The port is open: the first request follows when what was under way before has settled. */
    start: () => pass(SETTLE_S + A_MOMENT_S),
    vanish: device.vanish,
    truth,
    seen: () => ({ asked, mostOpen, unknown }),
  }
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
    request: 'SEND\\r',
    intervalS: 0.04,
    answerTimeoutS: 0.1,
  }
  writeFileSync(path, JSON.stringify(profile))
  return path
}

async function mill(marks: string) {
  const store = join(temporaryFolder(), 'store.db')
  const tablepace = programOn(store)
  await tablepace.json('machine', 'add', 'Bench', '--units', 'in')
  await tablepace.json('axis', 'add', 'X', '--travel', '21in', '--dial', '0..10', '--marks', marks)
  return { store, tablepace }
}

describe('a readout that speaks only when asked', () => {
  it('is asked by traverse --port through its profile, and gives the true feed', async () => {
    const { store } = await mill('4,8')
    const readout = askedReadout(2.5)
    const program = startProgram(
      [
        ...['--store', store, 'traverse', '--dial', '8', '--port', readout.path],
        ...['--readout', profileFile(), '--yes', '--json'],
      ],
      { env: readout.env },
    )
    await program.said(/Listening on/)
    readout.start()
    const { exitCode, stdout, stderr } = await program.ended
    expect(exitCode, stderr).toBe(0)
    const { runs } = JSON.parse(stdout) as { runs: { accepted: boolean; feed: { value: number } }[] }
    expect(runs).toHaveLength(1)
    expect(runs[0]!.accepted).toBe(true)
    const trueFeed = readout.truth.runFeedMmPerMin / 25.4
    expect(Math.abs(runs[0]!.feed.value / trueFeed - 1)).toBeLessThan(0.01)
    expect(readout.seen()).toMatchObject({ mostOpen: 1, unknown: '' })
  })

  it('is asked by calibrate --port as well', async () => {
    const { store, tablepace } = await mill('8')
    const readout = askedReadout(11)
    const program = startProgram(
      [
        ...['--store', store, 'calibrate', '--procedure', 'quick', '--port', readout.path],
        ...['--readout', profileFile(), '--yes', '--wait', '0s'],
      ],
      { env: readout.env },
    )
    await program.said(/Run 1 of 4/)
    readout.start()
    await program.said(/Run 2 of 4/)
    expect(await tablepace.json('runs')).toMatchObject({ runs: [{ accepted: true, dropped: null }] })
    expect(readout.seen()).toMatchObject({ mostOpen: 1, unknown: '' })
    readout.vanish()
    expect((await program.ended).exitCode).toBe(5)
  })

  it('is watched, with its answers counted and the width of its stamps told', async () => {
    const readout = askedReadout(2.5)
    const program = startProgram(
      ['readout', 'watch', '--port', readout.path, '--readout', profileFile(), '--for', '3s', '--json'],
      { env: readout.env },
    )
    await program.said(/Watching/)
    readout.start()
    const { exitCode, stdout, stderr } = await program.ended
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
  })
})
