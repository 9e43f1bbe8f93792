import { execFileSync } from 'node:child_process'
import { setTimeout as sleep } from 'node:timers/promises'
import * as pty from '@lydell/node-pty'
import { onTestFinished } from 'vitest'

/** A real pseudo-terminal that plays a readout. */
export interface PtyReadout {
  /** The device path to open as a serial port. */
  readonly path: string
  /** Sends bytes, or latin1 text, as they are. */
  readonly write: (bytes: Uint8Array | string) => void
  /** Sends lines one by one with CRLF, `intervalMs` apart. */
  readonly play: (lines: Iterable<string>, intervalMs: number) => Promise<void>
  /** The adapter is unplugged. */
  readonly vanish: () => void
  /** Frees the pseudo-terminal; may be called after `vanish`. */
  readonly close: () => void
}

/**
 * Opens a pseudo-terminal whose slave a serial port can open.
 *
 * @param onRequest called with what the port writes, as latin1 text
 */
export function openPtyReadout(onRequest?: (text: string) => void): PtyReadout {
  // A child has to hold the terminal; pty.open() would read the slave's data itself.
  const terminal = pty.spawn('sleep', ['1000'], { encoding: null })
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
  const write = (bytes: Uint8Array | string) => {
    if (!gone)
      terminalOfBytes.write(typeof bytes === 'string' ? Buffer.from(bytes, 'latin1') : Buffer.from(bytes))
  }
  return {
    path: slavePath(terminal),
    write,
    play: async (lines, intervalMs) => {
      for (const line of lines) {
        write(`${line}\r\n`)
        await sleep(intervalMs)
      }
    },
    vanish,
    close: vanish,
  }
}

/** A pseudo-terminal that is freed when the test is over. */
export function readoutForTest(): PtyReadout {
  const readout = openPtyReadout()
  onTestFinished(() => readout.close())
  return readout
}

/** The library knows the path of the slave but does not declare it. */
function slavePath(terminal: pty.IPty): string {
  if ('_pty' in terminal && typeof terminal._pty === 'string') return terminal._pty
  throw new Error('node-pty no longer tells the path of the pseudo-terminal')
}
