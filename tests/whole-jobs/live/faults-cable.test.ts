import { writeFileSync } from 'node:fs'
import { join } from 'node:path'
import { describe, expect, it } from 'vitest'
import { playRun } from '../../harness/live/play-run.js'
import { playedTime } from '../../harness/live/played-time.js'
import { openReplugReadout } from '../../harness/live/replug-readout.js'
import { programOn, startProgram, temporaryFolder } from '../../harness/program.js'

interface RunsJson {
  runs: {
    accepted: boolean
    feed: { value: number } | null
    durationS: number
    warnings: { code: string }[]
  }[]
}

async function bench() {
  const folder = temporaryFolder()
  const store = join(folder, 'store.db')
  const tablepace = programOn(store)
  await tablepace.json('machine', 'add', 'Bench', '--units', 'in')
  await tablepace.json('axis', 'add', 'X', '--travel', '21in', '--dial', '0..10', '--marks', '5,9')
  const time = playedTime()
  const start = (...args: string[]) => startProgram(['--store', store, ...args], { env: time.env })
  return { folder, tablepace, time, start }
}

const quick = { dial: 8, direction: 1, restAfterS: 4.5 } as const

describe('the cable is pulled in the middle of a traverse and put back', () => {
  it('traverse goes on as a new recording and joins nothing across the gap', async () => {
    const { tablepace, time, start } = await bench()
    const readout = openReplugReadout(time)
    const program = start('traverse', '--dial', '8', '--port', readout.path, '--yes', '--json')
    await program.said(/Listening on/)
    await playRun(readout.device(), { ...quick, seed: 31, travelS: 6, untilS: 2 })
    await readout.device().heard()
    readout.pull()
    await program.said(/vanished/)
    readout.plugIn()
    await program.said(/is back/)
    const truth = await playRun(readout.device(), { ...quick, seed: 32, travelS: 4 })
    const { exitCode, stdout, stderr } = await program.ended
    expect(exitCode, stderr).toBe(0)
    expect(stderr).toMatch(/vanished.*Waiting up to 60 s/)
    expect(stderr).toMatch(/back after \d+\.\d s; a new recording begins/)
    const { runs } = JSON.parse(stdout) as RunsJson
    expect(runs).toHaveLength(2)
    expect(runs[0]).toMatchObject({ accepted: false })
    expect(runs[0]!.durationS).toBeLessThan(3)
    expect(runs[1]!.accepted).toBe(true)
    expect(Math.abs(runs[1]!.feed!.value / (truth.runFeedMmPerMin / 25.4) - 1)).toBeLessThan(0.01)
    expect((await tablepace.json<RunsJson>('runs')).runs).toHaveLength(2)
  })

  it('traverse gives up after --wait, keeps what came before, and says so', async () => {
    const { time, start } = await bench()
    const readout = openReplugReadout(time)
    const program = start(
      ...['traverse', '--dial', '8', '--port', readout.path, '--yes', '--json', '--wait', '2s'],
    )
    await program.said(/Listening on/)
    await playRun(readout.device(), { ...quick, seed: 33, travelS: 6, untilS: 5 })
    await readout.device().heard()
    readout.pull()
    const { exitCode, stdout, stderr } = await program.ended
    expect(exitCode, stderr).toBe(5)
    const { error } = JSON.parse(stderr.trim().split('\n').at(-1)!) as {
      error: { code: string; message: string }
    }
    expect(error.code).toBe('port-vanished')
    expect(error.message).toMatch(/within 2 s/)
    expect((JSON.parse(stdout) as RunsJson).runs).toHaveLength(1)
  })

  it('calibrate asks for the same step again', async () => {
    const { folder, time, start } = await bench()
    const procedure = join(folder, 'one.json')
    writeFileSync(
      procedure,
      JSON.stringify({
        name: 'one',
        title: 'One run a mark',
        marks: 'axis',
        passes: ['up'],
        directions: ['+'],
        source: 'readout',
        minimumTravelTimeS: 2,
        longestTravelShare: 0.8,
        restS: 1,
        resetDial: true,
        cautions: [],
      }),
    )
    const readout = openReplugReadout(time)
    const program = start('calibrate', '--port', readout.path, '--procedure', procedure, '--yes')
    await program.said(/Run 1 of 2/)
    const play = (seed: number, untilS = 100): Promise<unknown> =>
      playRun(readout.device(), { dial: 5, direction: 1, seed, travelS: 3, restAfterS: 1.8, untilS })
    await play(41, 2)
    await readout.device().heard()
    readout.pull()
    await program.said(/vanished/)
    readout.plugIn()
    await program.said(/is back/)
    await play(42)
    await program.said(/Run 2 of 2/)
    await play(43)
    const { stderr } = await program.ended
    const told = stderr.match(/Run \d of 2|vanished|✗|✓|is back/g)
    expect(told, stderr).toEqual([
      'Run 1 of 2',
      'vanished',
      '✗',
      'is back',
      'Run 1 of 2',
      '✓',
      'Run 2 of 2',
      '✓',
    ])
  })
})
