import { join } from 'node:path'
import { describe, expect, it, onTestFinished } from 'vitest'
import { benchStore, listening, listeningInRealTime } from '../../harness/live/live-bench.js'
import { playRun } from '../../harness/live/play-run.js'
import { playedTime } from '../../harness/live/played-time.js'
import { openPtyReadout } from '../../harness/live/pty-readout.js'
import { programOn, startProgram } from '../../harness/program.js'

interface RunsJson {
  runs: {
    accepted: boolean
    direction: string
    feed: { value: number } | null
    coast: unknown
    warnings: { code: string }[]
  }[]
}

describe('traverse --port on a real serial device', () => {
  it('records one traverse in real time, stamped by this computer', async () => {
    const { device, program } = await listeningInRealTime('--baud', '115200')
    // Twice as long as a run has to be, because a computer that is busy besides may play a second of it late.
    const truth = await playRun(device, { dial: 8, direction: 1, seed: 11, travelS: 7, restAfterS: 5 })
    const { exitCode, stdout, stderr } = await program.ended
    expect(exitCode, stderr).toBe(0)
    const { runs } = JSON.parse(stdout) as RunsJson
    expect(runs).toMatchObject([{ accepted: true, direction: '+' }])
    // A computer that is busy besides plays and stamps late by tens of milliseconds in these 7 s.
    expect(Math.abs(runs[0]!.feed!.value / (truth.runFeedMmPerMin / 25.4) - 1)).toBeLessThan(0.1)
  })

  it('records one traverse, ends by itself when the table rests, and shows the cautions', async () => {
    const { device, program, store } = await listening('--baud', '115200')
    const truth = await playRun(device, { dial: 8, direction: 1, seed: 11, travelS: 4, restAfterS: 5 })
    const { exitCode, stdout, stderr } = await program.ended
    expect(exitCode, stderr).toBe(0)
    expect(stderr).toMatch(/Spindle off/)
    const { runs } = JSON.parse(stdout) as RunsJson
    expect(runs).toHaveLength(1)
    expect(runs[0]).toMatchObject({ accepted: true, direction: '+' })
    // 4 s at 40 lines a second are good to a few tenths of a percent.
    expect(Math.abs(runs[0]!.feed!.value / (truth.runFeedMmPerMin / 25.4) - 1)).toBeLessThan(0.01)
    const stored = await programOn(store).json<RunsJson>('runs')
    expect(stored.runs).toHaveLength(1)
  })

  it('says once what it concluded from the lines', async () => {
    const store = join((await benchStore()).folder, 'store.db')
    const time = playedTime()
    const device = openPtyReadout({ time })
    onTestFinished(() => device.close())
    const traverse = ['traverse', '--dial', '8', '--port', device.path, '--yes']
    const program = startProgram(['--store', store, ...traverse], { env: time.env })
    await program.said(/Listening on/)
    await playRun(device, { dial: 8, direction: 1, seed: 11, travelS: 4, restAfterS: 5 })
    const { exitCode, stderr } = await program.ended
    expect(exitCode, stderr).toBe(0)
    expect(stderr.match(/The position is the number labelled X\./g)).toHaveLength(1)
  })

  it('keeps what came before the port vanished midway, and says so with exit code 5', async () => {
    const { device, program, store } = await listening('--wait', '0s')
    await playRun(device, { dial: 8, direction: -1, seed: 12, travelS: 6, restAfterS: 5, untilS: 5 })
    await device.heard()
    device.vanish()
    const { exitCode, stdout, stderr } = await program.ended
    expect(exitCode, stderr).toBe(5)
    expect(JSON.parse(stderr.trim().split('\n').at(-1)!)).toMatchObject({ error: { code: 'port-vanished' } })
    const { runs } = JSON.parse(stdout) as RunsJson
    // A traverse that the loss cut off is no evidence of a feed.
    expect(runs).toHaveLength(1)
    expect(runs[0]).toMatchObject({ accepted: false })
    expect(runs[0]!.warnings.map(({ code }) => code)).toContain('left-out')
    expect((await programOn(store).json<RunsJson>('runs')).runs).toHaveLength(1)
  })

  it('says that a silent port is silent, and what to check', async () => {
    const { device, program } = await listening()
    await device.startTime()(11)
    const { exitCode, stderr } = await program.ended
    expect(exitCode).toBe(5)
    expect(stderr).toContain('port-silent')
    expect(stderr).toMatch(/baud/)
  })

  it('says that garbage is garbage', async () => {
    const { device, program } = await listening()
    const until = device.startTime()
    for (let atS = 0; atS < 11; atS += 0.05) {
      device.write(Buffer.from([0x80, 0xff, 0x13, 0x0a, 0xfe, 0x9c]))
      await until(atS + 0.05)
    }
    const { exitCode, stderr } = await program.ended
    expect(exitCode).toBe(5)
    expect(stderr).toContain('port-garbage')
  })

  it('ends after --for and says that the table never moved', async () => {
    const { device, program } = await listening('--for', '2s')
    await device.play(
      Array.from({ length: 60 }, () => 'X+001.0000'),
      40,
    )
    const { exitCode, stderr } = await program.ended
    expect(exitCode).toBe(1)
    expect(stderr).toContain('no-motion')
  })
})
