import { join } from 'node:path'
import { expect, onTestFinished, test } from 'vitest'
import {
  INCH_READOUT,
  QUILLFEN_MILL,
  readoutLines,
  simulateTurnedTraverse,
} from '../../../src/simulation/index.js'
import { handAtTerminal } from '../../harness/live/hand-at-terminal.js'
import { playedTime } from '../../harness/live/played-time.js'
import { openPtyReadout } from '../../harness/live/pty-readout.js'
import { openTerminal } from '../../harness/live/terminal.js'
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

test('calibrate --sweep --within travels until the table is good enough, and carries on after it was stopped', async () => {
  const store = join(temporaryFolder(), 'store.db')
  const { json } = programOn(store)
  await json('machine', 'add', 'Bench', '--units', 'in')
  await json('axis', 'add', 'X', '--travel', '21in', '--dial', '0..10', '--marks', '5,8', '--stepped')
  const calibrate = (seed: number) => {
    const time = playedTime()
    const device = openPtyReadout({ time })
    onTestFinished(() => device.close())
    const args = ['calibrate', '--sweep', '--within', '4', '--port', device.path, '--yes', '--unit', 'in']
    const terminal = openTerminal(['--store', store, ...args], time.env)
    return { ...terminal, time, person: handAtTerminal(terminal, device, seed) }
  }
  const first = calibrate(11)
  await first.waitFor(/For ± 4 % everywhere it is likely to take \d+ more runs, about \d+ minutes?\./)
  await first.waitFor(/SET 5/)
  while (!first.screen().includes('2 settings measured')) await first.person.second()
  await first.waitFor(/2 settings measured, about \d+ more to go, about \d+ minutes? left in all\./)
  first.type('\u0003')
  await first.waitFor(/Stopped after 2 runs; the same command carries on/)
  expect(await first.ended).toBe(0)
  expect(first.person.cues).toEqual(['SET 5 direction +', 'TURN TO 8', 'STOP'])

  const second = calibrate(12)
  await second.waitFor(/likely to take \d+ more runs/)
  await second.waitFor(/SET/)
  while (!second.time.isOver()) await second.person.second()
  expect(await second.ended).toBe(0)
  expect(second.screen()).toMatch(/The table is good enough at ± 4 %: no more runs are needed/)
  const made = [...first.person.hand.held.slice(0, 2), ...second.person.hand.held]
  const { runs } = await json<Runs>('runs')
  const inOrder = runs.filter(({ accepted }) => accepted).toSorted((a, b) => (a.id < b.id ? -1 : 1))
  expect(inOrder.map(({ dial, direction }) => `${dial} ${direction}`)).toEqual(
    made.map(({ dial, direction }) => `${dial} ${direction === 1 ? '+' : '-'}`),
  )
  for (const [i, { feed }] of inOrder.entries()) {
    expect(Math.abs((feed.value * 25.4) / made[i]!.feedMmPerMin - 1)).toBeLessThan(0.005)
  }
  expect(await json('advise', '--within', '4')).toMatchObject({ reached: true, runs: 0 })
})

interface Runs {
  readonly runs: readonly {
    readonly id: string
    readonly dial: number
    readonly direction: '+' | '-'
    readonly accepted: boolean
    readonly feed: { readonly value: number }
  }[]
}
