import { describe, expect, it } from 'vitest'
import { LIVE_READOUT, playRun } from '../../harness/live/play-run.js'
import { playedTime } from '../../harness/live/played-time.js'
import { readoutForTest } from '../../harness/live/pty-readout.js'
import { openTerminal } from '../../harness/live/terminal.js'
import { runProgram, startProgram } from '../../harness/program.js'

/** `readout watch` on a readout of its own, in played time. */
async function watching(...options: string[]) {
  const time = playedTime()
  const readout = readoutForTest({ time })
  const args = ['readout', 'watch', '--port', readout.path, '--unit', 'in', ...options]
  const program = startProgram(args, { env: time.env })
  await program.said(/Watching/)
  return { readout, program }
}

const RUN = { dial: 8, direction: 1, seed: 5, travelS: 1.5, restAfterS: 0.5 } as const

describe('readout watch', () => {
  it('prints a line a second when piped, then what came', async () => {
    const { readout, program } = await watching('--for', '3.5s')
    await playRun(readout, RUN)
    const { exitCode, stdout, stderr } = await program.ended
    expect(exitCode, stderr).toBe(0)
    const lines = stdout.trim().split('\n')
    const live = lines.filter((line) =>
      /^-?\d+\.\d{3} in {3}\d+\.\d\d in\/min {3}\d+\.\d Hz {3}\d+ lost/.test(line),
    )
    expect(live.length).toBeGreaterThanOrEqual(2)
    expect(live.length).toBeLessThanOrEqual(4)
    expect(lines.join('\n')).toMatch(/\d+ readings in 3\.\d s; last/)
  })

  it('prints one document at the end with --json: rate, lost and refused lines', async () => {
    const { readout, program } = await watching('--for', '3.5s', '--json')
    const faults = { droppedLineShare: 0.1, garbageByteShare: 0.1 }
    const truth = await playRun(readout, { ...RUN, readout: { ...LIVE_READOUT, faults } })
    const { exitCode, stdout, stderr } = await program.ended
    expect(exitCode, stderr).toBe(0)
    const summary = JSON.parse(stdout) as {
      lines: { read: number; used: number; lost: number; refused: Record<string, number> }
      refreshHz: number
      travel: { value: number; unit: string }
      highestSpeed: { value: number; unit: string }
      polling: null
    }
    const refused = Object.values(summary.lines.refused).reduce((sum, one) => sum + one, 0)
    expect(summary.lines.read).toBe(summary.lines.used + refused)
    expect(refused).toBeGreaterThan(3)
    expect(summary.lines.lost).toBeGreaterThan(3)
    expect(Math.abs(summary.refreshHz - 40)).toBeLessThan(4)
    expect(summary.travel.unit).toBe('in')
    expect(summary.highestSpeed.unit).toBe('in/min')
    // Over a second of a host's stamps, with garbage in a tenth of the lines.
    expect(summary.highestSpeed.value / (truth.runFeedMmPerMin / 25.4)).toBeGreaterThan(0.9)
    expect(summary.polling).toBeNull()
  })

  it('shows the numbers in place on a terminal, and ends at Ctrl-C', async () => {
    const time = playedTime()
    const readout = readoutForTest({ time })
    const terminal = openTerminal(['readout', 'watch', '--port', readout.path, '--unit', 'in'], time.env)
    await terminal.waitFor(/Ctrl-C ends/)
    const played = playRun(readout, RUN)
    await terminal.waitFor(/2K {2}-?\d+\.\d{3} in {3}\d+\.\d\d in\/min {3}\d+\.\d Hz/)
    await played
    terminal.type('\u0003')
    await terminal.waitFor(/\d+ readings in/)
    expect(await terminal.ended).toBe(0)
  })

  it('says that a port does not exist, with exit code 5', async () => {
    const { exitCode, stderr } = await runProgram(['readout', 'watch', '--port', '/dev/no-such-port'])
    expect(exitCode).toBe(5)
    expect(stderr).toContain('There is no serial port /dev/no-such-port.')
  })
})
