import { join } from 'node:path'
import { describe, expect, it, onTestFinished } from 'vitest'
import { openPtyReadout } from '../../harness/live/pty-readout.js'
import { playedReadout, sendingReadout } from '../../harness/live/sending-readout.js'
import { openTerminal } from '../../harness/live/terminal.js'
import { runProgram, startProgram, temporaryFolder } from '../../harness/program.js'

/** Settings of a user of their own, so that profiles are saved in a folder that is removed. */
function newUser(): Record<string, string> {
  const folder = temporaryFolder()
  return { HOME: folder, XDG_DATA_HOME: join(folder, 'data') }
}

/** Runs `readout learn` in played time, and moves the axis when it says so. */
async function learn(
  readout: ReturnType<typeof playedReadout>,
  moveMm: number,
  env: Record<string, string>,
  ...args: string[]
) {
  const program = startProgram(
    ['readout', 'learn', '--port', readout.path, '--baud', '9600', '--json', ...args],
    { env: { ...env, ...readout.env } },
  )
  await readout.sendUntil(program.said(/Listening for/))
  // A rest to begin with, so that the move is known from rest to rest.
  await readout.send(60)
  readout.moveMm(moveMm)
  return await readout.sendUntil(program.ended)
}

interface LearnJson {
  link: { baudRate: number; framing: string }
  axis: { label: string | null; column: number; netMove: number; rested: boolean }
  scale: { text: string; mmPerNumber: number; offPercent: number } | null
  measured: { refreshHz: number; positionStepMm: number; repeatsAtRest: boolean; lines: number }
  profile: {
    name: string
    unit: string
    countLengthMm?: number
    axes: unknown[]
    serial: { baudRate: number }
  }
  savedTo: string | null
}

const threeAxes = (p: number) => `X-003.100 Y${p < 0 ? '-' : '+'}${p.toFixed(3).padStart(7, '0')} Z+000.000`

describe('readout learn on a real serial device', () => {
  it('learns which number is the axis and what it is worth, saves a profile, and never writes', async () => {
    const env = newUser()
    const readout = playedReadout(threeAxes)
    const { exitCode, stdout, stderr } = await learn(
      readout,
      5,
      env,
      ...['--axis-moves-now', '2.5', '--known-move', '5mm', '--save-as', 'bench', '--yes'],
    )
    expect(exitCode, stderr).toBe(0)
    const learned = JSON.parse(stdout) as LearnJson
    expect(learned.link).toEqual({ baudRate: 9600, framing: '8N1' })
    expect(learned.axis).toMatchObject({ label: 'Y', column: 2, rested: true })
    expect(learned.axis.netMove).toBeCloseTo(5, 6)
    expect(learned.scale).toMatchObject({ text: 'mm', mmPerNumber: 1 })
    expect(learned.measured.refreshHz).toBeCloseTo(100, 1)
    expect(learned.measured.repeatsAtRest).toBe(true)
    expect(learned.profile).toMatchObject({ name: 'bench', unit: 'mm', axes: [{ axis: '*', label: 'Y' }] })
    expect(readout.written).toEqual([])
    // The profile is found by its name, with its speed, and reads the same lines.
    const listed = await runProgram(['readout', 'profiles', '--json'], { env })
    expect(listed.stdout).toMatch(/"name": "bench"[\s\S]*"own": true/)
    const { path } = sendingReadout(threeAxes)
    const watched = await runProgram(
      ['readout', 'watch', '--port', path, '--readout', 'bench', '--for', '1.5s', '--json'],
      { env },
    )
    expect(watched.exitCode, watched.stderr).toBe(0)
    expect(JSON.parse(watched.stdout)).toMatchObject({ baudRate: 9600, position: { value: 12, unit: 'mm' } })
    // Nothing is overwritten without a word.
    const again = await runProgram(
      ['readout', 'learn', '--port', readout.path, '--save-as', 'bench', '--yes', '--json'],
      { env },
    )
    expect(again.exitCode).toBe(2)
    expect(again.stderr).toContain('profile-name-taken')
  })

  it('learns counts of 5 µm from a tenth of an inch', async () => {
    const readout = playedReadout((p) => String(Math.round(p / 0.005)))
    const { exitCode, stdout, stderr } = await learn(
      readout,
      2.54,
      newUser(),
      ...['--axis-moves-now', '2.5', '--known-move', '0.1in', '--known-move-error', '0.0005in'],
    )
    expect(exitCode, stderr).toBe(0)
    const learned = JSON.parse(stdout) as LearnJson
    expect(learned.scale).toMatchObject({ text: 'counts of 5 \u00b5m', mmPerNumber: 0.005 })
    expect(Math.abs(learned.scale!.offPercent)).toBeLessThan(0.2)
    expect(learned.profile).toMatchObject({ unit: 'counts', countLengthMm: 0.005 })
    expect(learned.measured.positionStepMm).toBeCloseTo(0.005, 9)
    expect(learned.savedTo).toBeNull()
  })

  it('refuses a move that fits no usual scale, and one where nothing moved', async () => {
    const moving = playedReadout((p) => p.toFixed(3))
    const still = playedReadout(threeAxes)
    const args = ['--framing', '8N1', '--axis-moves-now']
    const [misfit, unmoved] = await Promise.all([
      learn(moving, 5, newUser(), ...args, '2.5', '--known-move', '7mm'),
      learn(still, 0, newUser(), ...args, '1'),
    ])
    expect([misfit.exitCode, misfit.stderr]).toEqual([1, expect.stringContaining('scale-unknown')])
    expect([unmoved.exitCode, unmoved.stderr]).toEqual([1, expect.stringContaining('nothing-moved')])
  })

  it('says that a silent port is silent, and that noise is no readout, with exit code 5', async () => {
    const silent = openPtyReadout()
    const noisy = openPtyReadout()
    const timer = setInterval(() => noisy.write(Buffer.from([0x80, 0xff, 0x13, 0x0a, 0xfe, 0x9c, 0x31])), 20)
    onTestFinished(() => {
      clearInterval(timer)
      noisy.close()
      silent.close()
    })
    const args = ['--baud', '9600', '--framing', '8N1', '--json']
    const [nothing, noise] = await Promise.all(
      [silent, noisy].map(({ path }) => runProgram(['readout', 'learn', '--port', path, ...args])),
    )
    expect([nothing!.exitCode, nothing!.stderr]).toEqual([5, expect.stringContaining('port-silent')])
    expect([noise!.exitCode, noise!.stderr]).toEqual([5, expect.stringContaining('readout-not-recognised')])
  })

  it('asks a person at a terminal', async () => {
    const env = newUser()
    const readout = playedReadout(threeAxes)
    const args = ['readout', 'learn', '--port', readout.path, '--baud', '9600', '--framing', '8N1']
    const terminal = openTerminal(args, { ...env, ...readout.env })
    await readout.sendUntil(terminal.waitFor(/Leave\s+empty\s+if\s+not\s+known:/))
    terminal.type('3mm\r')
    await terminal.waitFor(/Then press Enter/)
    await readout.send(60)
    readout.moveMm(3)
    await readout.send(120)
    terminal.type('\r')
    await readout.sendUntil(terminal.waitFor(/number labelled Y/))
    await terminal.waitFor(/which name\?/)
    terminal.type('mine\r')
    await terminal.waitFor(/Saved as mine/)
    expect(await terminal.ended).toBe(0)
    expect(readout.written).toEqual([])
  })
})
