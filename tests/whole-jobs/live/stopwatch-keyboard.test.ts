import { join } from 'node:path'
import { setTimeout as sleep } from 'node:timers/promises'
import { describe, expect, it, onTestFinished } from 'vitest'
import { openStore } from '../../../src/store/index.js'
import { openTerminal } from '../../harness/live/terminal.js'
import { programOn, temporaryFolder } from '../../harness/program.js'

interface RunsJson {
  runs: { dial: number; direction: string; durationS: number; feed: { value: number }; dropped: unknown }[]
}

async function mill(marks: string) {
  const store = join(temporaryFolder(), 'store.db')
  const tablepace = programOn(store)
  await tablepace.json('machine', 'add', 'Bench', '--units', 'in')
  await tablepace.json('axis', 'add', 'X', '--travel', '20in', '--dial', '0..10', '--marks', marks)
  return { store, tablepace }
}

describe('the stopwatch on the keyboard', () => {
  it('starts and stops by the space bar, takes a stop back, and keeps the time with Enter', async () => {
    const { store, tablepace } = await mill('1,2,3')
    const terminal = openTerminal([
      ...['--store', store, 'traverse', '--dial', '3', '--stopwatch'],
      ...['--distance', '1in', '--direction', '+', '--mark-every', '1in'],
    ])
    await terminal.waitFor(/All clear\?/)
    terminal.type('y\r')
    await terminal.waitFor(/SPACE when/)
    // The program stamps a press after it was made and before it shows what it made of it.
    const startTypedMs = performance.now()
    terminal.type(' ')
    await terminal.waitFor(/SPACE at the last mark/)
    const startShownMs = performance.now()
    await sleep(400)
    terminal.type('m')
    await sleep(300)
    terminal.type(' ')
    await terminal.waitFor(/ENTER keeps it/)
    terminal.type('u')
    await terminal.waitFor(/taken back: the stop press/)
    await sleep(500)
    const stopTypedMs = performance.now()
    terminal.type(' ')
    await terminal.waitFor(/ENTER keeps it/)
    const stopShownMs = performance.now()
    terminal.type('\r')
    // One mark every inch would be the last mark.
    await terminal.waitFor(/cannot lie within/)
    expect(await terminal.ended).toBe(0)
    const { runs } = await tablepace.json<RunsJson>('runs')
    expect(runs).toHaveLength(1)
    expect(runs[0]!.durationS).toBeGreaterThan((stopTypedMs - startShownMs) / 1000)
    expect(runs[0]!.durationS).toBeLessThan((stopShownMs - startTypedMs) / 1000)
    expect(runs[0]!.feed.value).toBeCloseTo(60 / runs[0]!.durationS, 9)
  })

  it('takes presses at the lines between as readings of the run', async () => {
    const { store } = await mill('1,2,3')
    const terminal = openTerminal([
      ...['--store', store, 'traverse', '--dial', '3', '--stopwatch', '--yes'],
      ...['--distance', '1in', '--direction', '-', '--mark-every', '0.5in'],
    ])
    await terminal.waitFor(/SPACE when/)
    terminal.type(' ')
    await terminal.waitFor(/SPACE at the last mark/)
    // A press within 0.15 s of the one before, which was taken by now, would be one that bounced.
    await sleep(300)
    terminal.type('m')
    await terminal.waitFor(/1 on the way/)
    await sleep(300)
    terminal.type(' ')
    await terminal.waitFor(/ENTER keeps it/)
    terminal.type('\r')
    await terminal.ended
    const kept = openStore(store, { mode: 'read' })
    onTestFinished(() => kept.close())
    const [run] = kept.runs.list(kept.axes.list(kept.machines.byName('Bench').id)[0]!.id)
    const { durationS, marks } = kept.recordings.stopwatchEntry(run!.recordingId)!
    expect(marks).toMatchObject({
      readings: [
        [0, 0],
        [expect.any(Number), -12.7],
        [durationS, -25.4],
      ],
    })
    expect(run).toMatchObject({ direction: -1, samples: { read: 3 } })
  })

  it('refuses to start without a terminal, and says how to enter times', async () => {
    const { tablepace } = await mill('1,2,3')
    const { exitCode, stderr } = await tablepace.run(
      ...['traverse', '--dial', '3', '--stopwatch', '--distance', '1in', '--direction', '+'],
    )
    expect(exitCode).toBe(2)
    expect(stderr).toMatch(/--time/)
  })

  it('walks through a calibration, repeats a run, stops midway and goes on where it stopped', async () => {
    const { store, tablepace } = await mill('2,5')
    const calibrate = ['--store', store, 'calibrate', '--stopwatch', '--distance', '1in', '--yes']
    const timeOne = async (
      terminal: ReturnType<typeof openTerminal>,
      ms: number,
      onTheWay: () => Promise<unknown> = async () => {},
    ): Promise<void> => {
      await terminal.waitFor(/SPACE when/)
      terminal.type(' ')
      await terminal.waitFor(/SPACE at the last mark/)
      await sleep(ms)
      await onTheWay()
      terminal.type(' ')
      await terminal.waitFor(/ENTER keeps it/)
      terminal.type('\r')
      await terminal.waitFor(/✓ dial/)
    }
    const first = openTerminal([...calibrate, '--mark-every', '2in'])
    await first.waitFor(/Run 1 of \d+/)
    await timeOne(first, 300, async () => {
      first.type('m')
      await first.waitFor(/1 on the way/)
      await sleep(300)
    })
    // One distance and no other travel beside it.
    expect(first.screen()).toMatch(/Time it over exactly 1\.000 in/)
    expect(first.screen()).not.toMatch(/Let it travel/)
    expect(first.screen()).toMatch(/1 mark on the way, one every 2\.000 in, cannot lie within 1\.000 in/)
    await first.waitFor(/Run 2 of/)
    first.type('r')
    await first.waitFor(/Run 1 of/)
    await timeOne(first, 320)
    await first.waitFor(/Run 2 of/)
    first.type('q')
    await first.waitFor(/Stopped at 1 of/)
    expect(await first.ended).toBe(0)

    const second = openTerminal(calibrate)
    await second.waitFor(/Carrying on with the last session: 1 of/)
    const total = Number(/Run 2 of (\d+)/.exec(await second.waitFor(/Run 2 of \d+/))![1])
    for (let step = 2; step <= total; step += 1) await timeOne(second, 200 + 40 * (step % 3))
    await second.waitFor(/next setting/)
    expect(await second.ended).toBe(0)

    const { runs } = await tablepace.json<RunsJson>('runs')
    expect(runs.filter((run) => run.dropped !== null)).toHaveLength(1)
    expect(runs).toHaveLength(total + 1)
    expect((await tablepace.json<{ tables: unknown[] }>('tables')).tables.length).toBeGreaterThan(0)
  })
})
