import { join } from 'node:path'
import { expect, onTestFinished, test } from 'vitest'
import {
  INCH_READOUT,
  QUILLFEN_MILL,
  readoutLines,
  simulateTurnedTraverse,
} from '../../../src/simulation/index.js'
import { playedTime } from '../../harness/live/played-time.js'
import { openPtyReadout } from '../../harness/live/pty-readout.js'
import { programOn, startProgram, temporaryFolder } from '../../harness/program.js'

const DIALS = [3, 5, 6]

test('traverse --port --settings guides one travel by bell and large type, and ends with a run a setting', async () => {
  const store = join(temporaryFolder(), 'store.db')
  const { json } = programOn(store)
  await json('machine', 'add', 'Bench', '--units', 'in')
  await json('axis', 'add', 'X', '--travel', '21in', '--dial', '0..10')
  const time = playedTime()
  const device = openPtyReadout({ time })
  onTestFinished(() => device.close())
  const program = startProgram(
    ['--store', store, 'traverse', '--settings', DIALS.join(','), '--port', device.path, '--yes', '--json'],
    { env: time.env },
  )
  await program.said(/Listening on/)
  // Each is held a little longer than the guide asks for, so that its cue comes before the knob is turned.
  const settings = DIALS.map((dial) => ({ dial, holdS: 12.5 }))
  const { motion, levels } = simulateTurnedTraverse(
    QUILLFEN_MILL,
    { direction: 1, settings, turn: 'straight', restAfterS: 6 },
    9,
  )
  const until = device.startTime()
  for (const { sampledS, bytes } of readoutLines(motion, INCH_READOUT, 10)) {
    await until(sampledS)
    device.write(bytes)
  }
  const { exitCode, stdout, stderr } = await program.ended
  expect(exitCode, stderr).toBe(0)
  expect(stderr).toMatch(/SET 3[\s\S]*TURN TO 5[\s\S]*TURN TO 6[\s\S]*STOP/)
  const { runs } = JSON.parse(stdout) as {
    runs: { dial: number; accepted: boolean; feed: { value: number } }[]
  }
  expect(runs.map(({ dial, accepted }) => [dial, accepted])).toEqual(DIALS.map((dial) => [dial, true]))
  for (const [i, { feed }] of runs.entries()) {
    expect(Math.abs((feed.value * 25.4) / levels[i]!.feedMmPerMin - 1)).toBeLessThan(0.005)
  }
})
