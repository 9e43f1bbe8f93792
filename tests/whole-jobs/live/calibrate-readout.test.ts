import { writeFileSync } from 'node:fs'
import { join } from 'node:path'
import { describe, expect, it, onTestFinished } from 'vitest'
import { playRun } from '../../harness/live/play-run.js'
import { playedTime } from '../../harness/live/played-time.js'
import { openPtyReadout } from '../../harness/live/pty-readout.js'
import { openTerminal } from '../../harness/live/terminal.js'
import { programOn, temporaryFolder } from '../../harness/program.js'

/** Two marks, two passes, both directions. */
const SHORT_PROCEDURE = {
  name: 'short',
  title: 'Two marks twice, up and down, in both directions',
  marks: 'axis',
  passes: ['up', 'down'],
  directions: ['+', '-'],
  source: 'readout',
  minimumTravelTimeS: 2,
  longestTravelShare: 0.8,
  restS: 1,
  resetDial: true,
  cautions: [],
}

describe('calibrate --port on a real serial device', () => {
  it('needs no key: sees each traverse start and stop, goes on after an interruption, and fits at the end', async () => {
    const folder = temporaryFolder()
    const store = join(folder, 'store.db')
    const tablepace = programOn(store)
    await tablepace.json('machine', 'add', 'Bench', '--units', 'in')
    await tablepace.json('axis', 'add', 'X', '--travel', '21in', '--dial', '0..10', '--marks', '5,9')
    const procedure = join(folder, 'short.json')
    writeFileSync(procedure, JSON.stringify(SHORT_PROCEDURE))
    const calibrate = () => {
      const time = playedTime()
      const device = openPtyReadout({ time })
      onTestFinished(() => device.close())
      const args = [
        '--store',
        store,
        'calibrate',
        '--port',
        device.path,
        '--procedure',
        procedure,
        '--yes',
        '--unit',
        'in',
      ]
      const play = (dial: number, direction: 1 | -1, seed: number): Promise<unknown> =>
        playRun(device, { dial, direction, seed, travelS: 6, restAfterS: 1.8 })
      return { ...openTerminal(args, time.env), play }
    }

    const first = calibrate()
    await first.waitFor(/Run 1 of 8 .*then back to 5.*direction \+/)
    await first.play(5, 1, 1)
    await first.waitFor(/✓ dial 5 \+/)
    await first.waitFor(/Run 2 of 8 .*direction -/)
    // The wrong way: told, not counted, and the step comes again.
    await first.play(5, 1, 2)
    await first.waitFor(/✗ dial 5 -.*other direction/)
    await first.play(5, -1, 3)
    await first.waitFor(/✓ dial 5 -/)
    first.type('q')
    await first.waitFor(/Stopped at 2 of 8/)
    expect(await first.ended).toBe(0)

    const second = calibrate()
    await second.waitFor(/2 of 8 runs are done|2 runs are done|: 2 of 8/)
    const rest = [
      [9, 1],
      [9, -1],
      [9, 1],
      [9, -1],
      [5, 1],
      [5, -1],
    ] as const
    for (const [index, [dial, direction]] of rest.entries()) {
      await second.waitFor(new RegExp(`Run ${index + 3} of 8`))
      await second.play(dial, direction, 20 + index)
      await second.waitFor(new RegExp(`✓ dial ${dial} \\${direction === 1 ? '+' : '-'}`))
    }
    await second.waitFor(/next setting/)
    expect(await second.ended).toBe(0)
    const { tables } = await tablepace.json<{ tables: { direction: string; runs: number }[] }>('tables')
    expect(tables.map((table) => [table.direction, table.runs])).toEqual([
      ['+', 4],
      ['-', 4],
    ])
  })
})
