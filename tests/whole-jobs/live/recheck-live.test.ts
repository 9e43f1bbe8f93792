import { join } from 'node:path'
import { describe, expect, it, onTestFinished } from 'vitest'
import {
  INCH_READOUT,
  QUILLFEN_MILL,
  readoutLines,
  simulateTurnedTraverse,
} from '../../../src/simulation/index.js'
import { playRun } from '../../harness/live/play-run.js'
import { playedTime } from '../../harness/live/played-time.js'
import { openPtyReadout } from '../../harness/live/pty-readout.js'
import { openTerminal } from '../../harness/live/terminal.js'
import { madeOnce } from '../../harness/made-once.js'
import { programOn, startProgram } from '../../harness/program.js'
import { recordRun } from '../../harness/simulated-recordings.js'

interface HistoryJson {
  history: { kind: string; verdict?: string; runIds?: string[]; reason?: string }[]
}

const tableOfTwoMarks = madeOnce(async (folder) => {
  const { json } = programOn(join(folder, 'store.db'))
  await json('machine', 'add', 'Bench', '--units', 'in')
  await json('axis', 'add', 'X', '--travel', '21in', '--dial', '0..10')
  const recorded = [7, 9].flatMap((dial) =>
    [1, 2, 3].map((k) => recordRun(folder, { dial, direction: 1, seed: 100 * dial + 10 * k, travelS: 6 })),
  )
  await json('traverse', ...recorded.flatMap((run) => ['--from', run.argument]))
  await json('fit')
})

describe('recheck --port on a real serial device', () => {
  it('makes all its runs in two travels while the knob is turned, and judges them', async () => {
    const { folder } = await tableOfTwoMarks()
    const store = join(folder, 'store.db')
    const { json } = programOn(store)
    const asked = ['recheck', '--within', '6', '--reason', 'gibs']
    const { plan } = await json<{ plan: { dial: number; runs: number }[] }>(...asked, '--plan')
    // Two runs at each mark, one in each travel.
    expect(plan.map(({ dial, runs }) => [dial, runs])).toEqual([
      [7, 2],
      [9, 2],
    ])
    const travels = [
      [7, 9],
      [7, 9],
    ]
    const time = playedTime()
    const device = openPtyReadout({ time })
    onTestFinished(() => device.close())
    const program = startProgram(
      ['--store', store, ...asked, '--sweep', '--port', device.path, '--yes', '--json'],
      { env: time.env },
    )
    const until = device.startTime()
    let beganS = 0
    for (const [k, dials] of travels.entries()) {
      await program.said(new RegExp('SET \\d[\\s\\S]*'.repeat(k + 1)))
      const settings = dials.map((dial) => ({ dial, holdS: 12.5 }))
      const { motion } = simulateTurnedTraverse(
        QUILLFEN_MILL,
        { direction: 1, settings, turn: 'straight', restAfterS: 6 },
        9 + k,
      )
      const lines = [...readoutLines(motion, INCH_READOUT, 10)]
      for (const { sampledS, bytes } of lines) {
        await until(beganS + sampledS)
        device.write(bytes)
      }
      beganS += lines.at(-1)!.sampledS + 1
    }
    const { exitCode, stdout, stderr } = await program.ended
    expect(stderr).toMatch(
      new RegExp(
        travels
          .flat()
          .map((dial) => `(SET|TURN TO) ${dial}`)
          .join('[\\s\\S]*'),
      ),
    )
    expect(exitCode, stderr).toBe(0)
    const told = JSON.parse(stdout) as { verdict: string; runIds: string[] }
    expect(told.verdict).toBe('holds')
    expect(told.runIds).toHaveLength(travels.flat().length)
  })

  it('guides the runs that tell most, goes on after an interruption, and judges at the end', async () => {
    const { folder } = await tableOfTwoMarks()
    const store = join(folder, 'store.db')
    const tablepace = programOn(store)
    const recheck = () => {
      const time = playedTime()
      const device = openPtyReadout({ time })
      onTestFinished(() => device.close())
      const args = ['recheck', '--within', '6', '--reason', 'gibs', '--port', device.path, '--yes']
      // A run of a recheck by readout takes 7 s at least, and one and a half turns of the leadscrew.
      const play = (dial: number, seed: number): Promise<unknown> =>
        playRun(device, { dial, direction: 1, seed, travelS: 12.5, restAfterS: 3 })
      return { ...openTerminal(['--store', store, ...args], time.env), play }
    }

    const first = recheck()
    await first.waitFor(/Before the table moves/)
    const total = Number(/Run 1 of (\d+)/.exec(await first.waitFor(/Run 1 of \d+/))![1])
    expect(total).toBeGreaterThanOrEqual(4)
    await first.waitFor(/then\s+back\s+to\s+7,\s+feed\s+in\s+direction\s+\+/)
    await first.play(7, 5)
    await first.waitFor(/✓ dial 7 \+/)
    first.type('q')
    await first.waitFor(new RegExp(`Stopped at 1 of ${total} runs; the same command carries on`))
    expect(await first.ended).toBe(4)

    const second = recheck()
    await second.waitFor(new RegExp(`Carrying on with the last session: 1 of ${total}`))
    for (let run = 2; run <= total; run += 1) {
      const asked = await second.waitFor(new RegExp(`Run ${run} of ${total} .*back to (\\d)`))
      const dial = Number(asked.at(-1))
      await second.play(dial, 20 + run)
      await second.waitFor(/✓ dial/)
    }
    await second.waitFor(/The table holds within 6 % from dial 7 to 9/)
    expect(await second.ended).toBe(0)
    const { history } = await tablepace.json<HistoryJson>('history')
    const kept = history.filter((entry) => entry.kind === 'recheck')
    expect(kept).toEqual([expect.objectContaining({ verdict: 'holds', reason: 'gibs' })])
    expect(kept[0]!.runIds).toHaveLength(total)
    // A calibration knows nothing of the recheck's session.
    const calibrate = openTerminal(['--store', store, 'calibrate', '--stopwatch', '--yes'])
    await calibrate.waitFor(/no marks|none are entered/i)
    expect(await calibrate.ended).toBe(2)
  })
})
