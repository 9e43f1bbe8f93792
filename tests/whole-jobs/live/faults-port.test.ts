import { join } from 'node:path'
import { setTimeout as sleep } from 'node:timers/promises'
import { SerialPort } from 'serialport'
import { describe, expect, it, onTestFinished } from 'vitest'
import {
  arrivingChunks,
  QUILLFEN_MILL,
  readoutLines,
  type SerialLink,
  type SimulatedReadout,
  simulateRun,
} from '../../../src/simulation/index.js'
import {
  benchStore,
  errorOf,
  failedScenes,
  listening,
  listeningInRealTime,
  offFrom,
  runsOf,
  type Scenes,
} from '../../harness/live/live-bench.js'
import { LIVE_READOUT, playRun } from '../../harness/live/play-run.js'
import { openPtyReadout, type PtyReadout } from '../../harness/live/pty-readout.js'
import { programOn } from '../../harness/program.js'

const RUN = { dial: 8, direction: 1, restAfterS: 4.5 } as const

/** Plays a run as bytes through a link, each chunk when it arrives. */
async function playBytes(device: PtyReadout, readout: SimulatedReadout, link: SerialLink, seed: number) {
  const drivenMm = (QUILLFEN_MILL.curve(RUN.dial) * 4) / 60
  const request = { dial: RUN.dial, direction: RUN.direction, drivenMm, restBeforeS: 1.5, restAfterS: 4.5 }
  const { motion, truth } = simulateRun(QUILLFEN_MILL, request, seed)
  const until = device.startTime()
  for (const { bytes, arrivalS } of arrivingChunks(readoutLines(motion, readout, seed), link, seed)) {
    await until(arrivalS)
    device.write(bytes)
  }
  return truth
}

/** Sends the same again and again for so long, s. */
async function send(device: PtyReadout, bytes: Uint8Array | string, everyS: number, forS: number) {
  const until = device.startTime()
  for (let sentS = 0; sentS < forS; sentS += everyS) {
    device.write(bytes)
    await until(sentS + everyS)
  }
}

// Every scene has a program and a device of its own, so they play side by side.
describe('faults of a live port, each on a real pseudo-terminal', () => {
  it('are told by name, or do not hurt', async () => {
    const scenes: Scenes = {
      'the port is held by another program': async () => {
        const device = openPtyReadout()
        onTestFinished(() => device.close())
        const other = new SerialPort({ path: device.path, baudRate: 9600 })
        await new Promise((done) => other.once('open', done))
        const { run } = programOn(join((await benchStore()).folder, 'store.db'))
        const result = await run('traverse', '--dial', '8', '--port', device.path, '--yes', '--json')
        await new Promise((done) => other.close(done))
        expect(result.exitCode).toBe(5)
        expect(errorOf(result).code).toBe('port-busy')
      },
      'no line ever ends': async () => {
        const { device, program } = await listening()
        await send(device, 'X+001.0000', 0.1, 11)
        const result = await program.ended
        expect(result.exitCode).toBe(5)
        expect(errorOf(result)).toMatchObject({ code: 'port-no-line-end' })
        expect(errorOf(result).message).toContain('X+001.0000')
      },
      'seven data bits with even parity, read as eight': async () => {
        const { device, program } = await listening()
        const line = Buffer.from('X+012.3450\r\n', 'latin1')
        const withParity = line.map((byte) => (onesIn(byte) % 2 === 0 ? byte : byte | 0x80))
        await send(device, withParity, 0.05, 11)
        const result = await program.ended
        expect(result.exitCode).toBe(5)
        expect(errorOf(result)).toMatchObject({ code: 'port-framing' })
        expect(errorOf(result).message).toContain('7E1')
      },
      'the output pauses for 2 s midway': async () => {
        const { device, program } = await listening()
        const readout = { ...LIVE_READOUT, faults: { silentS: [5, 7] as const } }
        const truth = await playRun(device, { ...RUN, seed: 51, travelS: 9, readout })
        const result = await program.ended
        const [run] = runsOf(result)
        expect(run!.warnings.map(({ code }) => code)).toContain(run!.accepted ? 'gap' : 'lines-lost')
        if (run!.accepted) expect(offFrom(run, truth)).toBeLessThan(0.01)
      },
      'switched between inch and mm midway': async () => {
        const { device, program } = await listening()
        const readout = { ...LIVE_READOUT, faults: { unitSwitchedAtS: 4 } }
        await playRun(device, { ...RUN, seed: 52, travelS: 5, readout })
        const result = await program.ended
        expect(result.exitCode, result.stderr).toBe(1)
        const [run] = runsOf(result)
        expect(run!.accepted).toBe(false)
        expect(run!.warnings[0]).toMatchObject({ code: 'unit-switched' })
        expect(errorOf(result).message).toMatch(/switched between inch and mm/)
      },
      'the program is stopped for 2 s midway and goes on': async () => {
        // In real time: what stops and goes on is the computer's own.
        const { device, program } = await listeningInRealTime()
        const first = playRun(device, { ...RUN, seed: 53, travelS: 6, restAfterS: 1 })
        await program.said(/Moving/)
        program.signal('SIGSTOP')
        await sleep(2000)
        program.signal('SIGCONT')
        await first
        const truth = await playRun(device, { ...RUN, seed: 54, travelS: 4 })
        const result = await program.ended
        expect(result.stderr).toMatch(/stood still for [23]\.\d s/)
        // What came before, perhaps the end of that traverse, and a whole one: none reaches over the stop.
        for (const run of runsOf(result)) {
          if (!run.accepted) continue
          expect(run.durationS).toBeLessThan(5.5)
          expect(offFrom(run, truth)).toBeLessThan(0.05)
        }
      },
      '9600 baud through an adapter that hands over every 16 ms': async () => {
        const { device, program } = await listening('--baud', '9600')
        const link = { baud: 9600, jitterS: 0.001, usbBatchS: 0.016 }
        const truth = await playBytes(device, LIVE_READOUT, link, 55)
        expect(offFrom(runsOf(await program.ended)[0], truth)).toBeLessThan(0.01)
      },
      '921600 baud, 200 lines a second': async () => {
        const { device, program } = await listening('--baud', '921600')
        const link = { baud: 921_600, jitterS: 0.0001, usbBatchS: 0.001 }
        const truth = await playBytes(device, { ...LIVE_READOUT, refreshHz: 200 }, link, 56)
        expect(offFrom(runsOf(await program.ended)[0], truth)).toBeLessThan(0.01)
      },
    }
    expect(await failedScenes(scenes)).toEqual([])
  })
})

function onesIn(byte: number): number {
  let ones = 0
  for (let rest = byte; rest > 0; rest >>= 1) ones += rest & 1
  return ones
}
