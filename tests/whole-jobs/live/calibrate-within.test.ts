import { join } from 'node:path'
import { expect, it, onTestFinished } from 'vitest'
import { playRun } from '../../harness/live/play-run.js'
import { playedTime } from '../../harness/live/played-time.js'
import { openPtyReadout } from '../../harness/live/pty-readout.js'
import { openTerminal } from '../../harness/live/terminal.js'
import { programOn, temporaryFolder } from '../../harness/program.js'

/** More runs than this mean that it does not end by itself. */
const MOST_RUNS = 25

it('calibrate --within tells its runs and minutes, carries on after an interruption, and ends with a table that is good enough', async () => {
  const store = join(temporaryFolder(), 'store.db')
  const { json } = programOn(store)
  await json('machine', 'add', 'Bench', '--units', 'in')
  await json('axis', 'add', 'X', '--travel', '21in', '--dial', '5..9', '--marks', '5,9', '--stepped')
  const calibrate = () => {
    const time = playedTime()
    const device = openPtyReadout({ time })
    onTestFinished(() => device.close())
    const args = [
      'calibrate',
      '--within',
      '3',
      '--direction',
      '+',
      '--port',
      device.path,
      '--yes',
      '--unit',
      'in',
    ]
    const play = (dial: number, seed: number): Promise<unknown> =>
      playRun(device, { dial, direction: 1, seed, travelS: 12.5, restAfterS: 3 })
    return { ...openTerminal(['--store', store, ...args], time.env), play }
  }

  const first = calibrate()
  await first.waitFor(/For ± 3 % everywhere it is likely to take \d+ more runs, about \d+ minutes?\./)
  await first.waitFor(/Run 1 of about \d+: turn the dial away, then back to 5, feed in direction \+/)
  await first.waitFor(/About \d+ minutes? left in all\./)
  await first.play(5, 1)
  await first.waitFor(/✓ dial 5 \+/)
  await first.waitFor(/Run 2 of about \d+: .*back to 9/)
  first.type('q')
  await first.waitFor(/Stopped at 1 run; the same command carries on/)
  expect(await first.ended).toBe(0)

  const second = calibrate()
  await second.waitFor(/Carrying on with the last session: 1 run/)
  let runs = 1
  for (; runs < MOST_RUNS; runs++) {
    const said = await second.waitFor(
      new RegExp(`Run ${runs + 1} of about \\d+: .*back to \\d|The table is good enough at ± 3 %`),
    )
    if (said.includes('good enough at')) break
    await second.play(Number(said.at(-1)), 100 * runs)
    await second.waitFor(/✓ dial/)
  }
  expect(await second.ended).toBe(0)
  const { history } = await json<{ history: { kind: string; reason?: string }[] }>('history')
  expect(history.map(({ reason }) => reason)).toContain('calibration: to ± 3 %')
  expect(await json('advise', '--within', '3', '--direction', '+')).toMatchObject({ reached: true, runs: 0 })
  expect(runs).toBeGreaterThanOrEqual(4)
})
