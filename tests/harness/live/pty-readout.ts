import { execFileSync } from 'node:child_process'
import { setTimeout as sleep } from 'node:timers/promises'
import type * as pty from '@lydell/node-pty'
import { onTestFinished } from 'vitest'
import { spawnOnTerminal } from './own-terminal.js'
import { amongFrames, timeFrame } from './played-clock.js'
import type { PlayedTime } from './played-time.js'

/** A real pseudo-terminal that plays a readout. */
export interface PtyReadout {
  /** The device path to open as a serial port. */
  readonly path: string
  /** Sends bytes, or latin1 text, as they are. */
  readonly write: (bytes: Uint8Array | string) => void
  /** Sends lines one by one with CRLF, `intervalMs` apart. */
  readonly play: (lines: Iterable<string>, intervalMs: number) => Promise<void>
  /** Starts a stretch of time; what it gives waits until so many seconds of it are over, in real or in played time. */
  readonly startTime: () => (untilS: number) => Promise<void>
  /** In played time: resolves when all that was sent has been taken in by the program. */
  readonly heard: () => Promise<void>
  /** The adapter is unplugged. */
  readonly vanish: () => void
  /** Frees the pseudo-terminal; may be called after `vanish`. */
  readonly close: () => void
}

interface PtyReadoutOptions {
  /** Called with what the port writes, as latin1 text. */
  readonly onRequest?: (text: string) => void
  /** The time of the program that listens; without it the readout is played in real time. */
  readonly time?: PlayedTime | undefined
}

/** Opens a pseudo-terminal whose slave a serial port can open. */
export function openPtyReadout({ onRequest, time }: PtyReadoutOptions = {}): PtyReadout {
  // A child has to hold the terminal; pty.open() would read the slave's data itself.
  const terminal = spawnOnTerminal('sleep', ['1000'], { encoding: null })
  // Without an encoding the library hands out buffers, whatever its types say.
  terminal.onData((data: unknown) => onRequest?.(Buffer.from(data as Uint8Array).toString('latin1')))
  // A terminal that nobody has opened yet echoes what it is sent, which looks like a request.
  if (onRequest)
    execFileSync('stty', [process.platform === 'darwin' ? '-f' : '-F', slavePath(terminal), 'raw', '-echo'])
  let gone = false
  const vanish = () => {
    if (gone) return
    gone = true
    terminal.kill()
  }
  // The library takes buffers, too, whatever its types say; text it would encode as UTF-8.
  const terminalOfBytes: { write(bytes: unknown): void } = terminal
  const send = (bytes: Buffer) => {
    if (gone) return
    time?.sent(bytes.length)
    terminalOfBytes.write(bytes)
  }
  const write = (bytes: Uint8Array | string) => {
    const plain = typeof bytes === 'string' ? Buffer.from(bytes, 'latin1') : Buffer.from(bytes)
    send(time === undefined ? plain : amongFrames(plain))
  }
  const startTime = (): ((untilS: number) => Promise<void>) => {
    const startedMs = performance.now()
    let atS = 0
    return async (untilS) => {
      if (time === undefined) {
        const waitMs = 1000 * untilS - (performance.now() - startedMs)
        if (waitMs > 0) await sleep(waitMs)
      } else if (untilS > atS) {
        send(Buffer.from(timeFrame(untilS - atS), 'latin1'))
        // The pseudo-terminal holds 4 KiB; whoever reads it must get a turn.
        await time.roomFor(3000)
      }
      atS = Math.max(atS, untilS)
    }
  }
  return {
    path: slavePath(terminal),
    write,
    play: async (lines, intervalMs) => {
      const until = startTime()
      let count = 0
      for (const line of lines) {
        write(`${line}\r\n`)
        count += 1
        await until((count * intervalMs) / 1000)
      }
    },
    startTime,
    heard: async () => time?.roomFor(0),
    vanish,
    close: vanish,
  }
}

/** A pseudo-terminal that is freed when the test is over. */
export function readoutForTest(options: PtyReadoutOptions = {}): PtyReadout {
  const readout = openPtyReadout(options)
  onTestFinished(() => readout.close())
  return readout
}

/** The library knows the path of the slave but does not declare it. */
function slavePath(terminal: pty.IPty): string {
  if ('_pty' in terminal && typeof terminal._pty === 'string') return terminal._pty
  throw new Error('node-pty no longer tells the path of the pseudo-terminal')
}
