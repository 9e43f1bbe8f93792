import { monotonicS } from '../../ingest/index.js'
import { clearStatus } from './terminal.js'

/** A key as pressed, with its time in s on the monotonic clock. */
interface KeyPress {
  /** The character, or `space`, `enter`, `interrupt`. */
  readonly key: string
  readonly timeS: number
}

/** Keys read one by one from the terminal, without Enter and without echo; none is lost between two `next`. */
export interface Keys {
  /** The next key. */
  next(): Promise<KeyPress>
  /** Gives the terminal back as it was. */
  close(): void
}

const NAMES: Readonly<Record<string, string>> = {
  ' ': 'space',
  '\r': 'enter',
  '\n': 'enter',
  '\u0003': 'interrupt',
  '\u0004': 'interrupt',
}

/** Starts reading keys. Only on a terminal: ask `canAsk()` first. */
export function openKeys(): Keys {
  const unread: KeyPress[] = []
  let waiting: ((press: KeyPress) => void) | null = null
  const onData = (data: Buffer): void => {
    // Stamped before anything else: the press is the measurement.
    const timeS = monotonicS()
    for (const character of data.toString('utf8')) {
      unread.push({ key: NAMES[character] ?? character.toLowerCase(), timeS })
    }
    handOver()
  }
  const handOver = (): void => {
    const press = waiting === null ? undefined : unread.shift()
    if (press === undefined) return
    const receive = waiting
    waiting = null
    receive?.(press)
  }
  process.stdin.setRawMode(true)
  process.stdin.on('data', onData)
  process.stdin.resume()
  return {
    next: () =>
      new Promise((resolve) => {
        waiting = resolve
        handOver()
      }),
    close: () => {
      process.stdin.off('data', onData)
      process.stdin.setRawMode(false)
      process.stdin.pause()
      clearStatus()
    },
  }
}
