import { join } from 'node:path'
import { setTimeout as sleep } from 'node:timers/promises'
import { describe, expect, it, onTestFinished } from 'vitest'
import { playRun } from '../harness/play-run.js'
import { programOn, temporaryFolder } from '../harness/program.js'
import { readoutForTest } from '../harness/pty-readout.js'

async function mill() {
  const folder = temporaryFolder()
  const tablepace = programOn(join(folder, 'store.db'))
  await tablepace.json('machine', 'add', 'Bench', '--units', 'in')
  await tablepace.json('axis', 'add', 'X', '--travel', '21in', '--dial', '0..10', '--marks', '4,8')
  return tablepace
}

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
  it('records one traverse, ends by itself when the table rests, and shows the cautions', async () => {
    const tablepace = await mill()
    const device = readoutForTest()
    const ended = tablepace.run(
      'traverse',
      '--dial',
      '8',
      '--port',
      device.path,
      '--baud',
      '115200',
      '--json',
    )
    await sleep(1200)
    const truth = await playRun(device, { dial: 8, direction: 1, seed: 11, travelS: 4, restAfterS: 5 })
    const { exitCode, stdout, stderr } = await ended
    expect(exitCode, stderr).toBe(0)
    expect(stderr).toMatch(/Spindle off/)
    const { runs } = JSON.parse(stdout) as RunsJson
    expect(runs).toHaveLength(1)
    expect(runs[0]).toMatchObject({ accepted: true, direction: '+' })
    // A real host stamps these lines; 4 s at 40 Hz with some ms of jitter is good to a few tenths of a percent.
    expect(Math.abs(runs[0]!.feed!.value / (truth.runFeedMmPerMin / 25.4) - 1)).toBeLessThan(0.01)
    const stored = await tablepace.json<RunsJson>('runs')
    expect(stored.runs).toHaveLength(1)
  })

  it('keeps what came before the port vanished midway, and says so with exit code 5', async () => {
    const tablepace = await mill()
    const device = readoutForTest()
    const ended = tablepace.run(
      ...['traverse', '--dial', '8', '--port', device.path, '--wait', '0s', '--yes', '--json'],
    )
    await sleep(1200)
    await playRun(device, { dial: 8, direction: -1, seed: 12, travelS: 6, restAfterS: 5, untilS: 5 })
    device.vanish()
    const { exitCode, stdout, stderr } = await ended
    expect(exitCode, stderr).toBe(5)
    expect(JSON.parse(stderr.trim().split('\n').at(-1)!)).toMatchObject({ error: { code: 'port-vanished' } })
    expect((JSON.parse(stdout) as RunsJson).runs).toHaveLength(1)
    expect((await tablepace.json<RunsJson>('runs')).runs).toHaveLength(1)
  })

  it('says that a silent port is silent, and what to check', async () => {
    const tablepace = await mill()
    const device = readoutForTest()
    const { exitCode, stderr } = await tablepace.run(
      'traverse',
      '--dial',
      '8',
      '--port',
      device.path,
      '--yes',
      '--json',
    )
    expect(exitCode).toBe(5)
    expect(stderr).toContain('port-silent')
    expect(stderr).toMatch(/baud/)
  })

  it('says that garbage is garbage', async () => {
    const tablepace = await mill()
    const device = readoutForTest()
    const ended = tablepace.run('traverse', '--dial', '8', '--port', device.path, '--yes', '--json')
    const chatter = setInterval(() => device.write(Buffer.from([0x80, 0xff, 0x13, 0x0a, 0xfe, 0x9c])), 50)
    onTestFinished(() => clearInterval(chatter))
    const { exitCode, stderr } = await ended
    expect(exitCode).toBe(5)
    expect(stderr).toContain('port-garbage')
  })

  it('ends after --for and says that the table never moved', async () => {
    const tablepace = await mill()
    const device = readoutForTest()
    const ended = tablepace.run(
      'traverse',
      '--dial',
      '8',
      '--port',
      device.path,
      '--yes',
      '--for',
      '2s',
      '--json',
    )
    await sleep(600)
    await device.play(
      Array.from({ length: 50 }, () => 'X+001.0000'),
      40,
    )
    const { exitCode, stderr } = await ended
    expect(exitCode).toBe(1)
    expect(stderr).toContain('no-motion')
  })
})
