import { setTimeout as sleep } from 'node:timers/promises'
import { onTestFinished } from 'vitest'
import { playedTime } from './played-time.js'
import { readoutForTest } from './pty-readout.js'

/** What a readout says of an axis, line by line. */
type LineAt = (positionMm: number, line: number) => string

/** A readout on a pseudo-terminal that sends without end what `lineAt` says; `moveMm` slides the axis. */
export function sendingReadout(lineAt: LineAt, intervalMs = 10) {
  const axis = slidingAxis(lineAt)
  const written: string[] = []
  const device = readoutForTest({ onRequest: (text) => written.push(text) })
  const timer = setInterval(() => device.write(`${axis.next()}\r\n`), intervalMs)
  onTestFinished(() => clearInterval(timer))
  return {
    path: device.path,
    written,
    /** Comes true once so many more lines were sent. */
    sent: async (lines: number) => {
      const enough = axis.lines() + lines
      while (axis.lines() < enough) await new Promise((resolve) => setImmediate(resolve))
    },
    moveMm: axis.moveMm,
  }
}

/** Lines between two looks at whether the program has taken them in: what it says is then seen within as many. */
const LINES_AT_ONCE = 5
/** After this time without a sign, ms, what was sent is lost: a port that is opened throws away what waited there. */
const LOST_AFTER_MS = 200

/**
 * The same in played time, for one program that is started with its `env`. It sends while the test waits for something,
 * so that no time goes by unless the test lets it.
 */
export function playedReadout(lineAt: LineAt, intervalMs = 10) {
  const axis = slidingAxis(lineAt)
  const written: string[] = []
  const time = playedTime()
  const device = readoutForTest({ time, onRequest: (text) => written.push(text) })
  const until = device.startTime()
  const sendSome = async (): Promise<void> => {
    for (let k = 0; k < LINES_AT_ONCE; k += 1) {
      device.write(`${axis.next()}\r\n`)
      await until((axis.lines() * intervalMs) / 1000)
    }
    const sentMs = performance.now()
    do {
      // Also where all is taken in, since whatever is waited for needs a turn.
      await sleep(1)
      if (performance.now() - sentMs > LOST_AFTER_MS) time.forget()
    } while (!time.isHeard())
  }
  return {
    path: device.path,
    env: time.env,
    written,
    /** Sends so many lines. */
    send: async (lines: number): Promise<void> => {
      const enough = axis.lines() + lines
      while (axis.lines() < enough) await sendSome()
    },
    /** Sends until this has come true. */
    sendUntil: async <T>(promise: Promise<T>): Promise<T> => {
      let settled = false
      const settle = (): void => {
        settled = true
      }
      promise.then(settle, settle)
      while (!settled) await sendSome()
      return promise
    },
    moveMm: axis.moveMm,
  }
}

function slidingAxis(lineAt: LineAt) {
  let positionMm = 12
  let speedMmPerLine = 0
  let leftMm = 0
  let lines = 0
  return {
    lines: () => lines,
    /** The next line, and the axis goes on. */
    next: (): string => {
      const stepMm = Math.min(Math.abs(leftMm), speedMmPerLine) * Math.sign(leftMm)
      positionMm += stepMm
      leftMm -= stepMm
      lines += 1
      return lineAt(positionMm, lines - 1)
    },
    /** Slides the axis within the next forty lines. */
    moveMm: (lengthMm: number): void => {
      leftMm = lengthMm
      speedMmPerLine = Math.abs(lengthMm) / 40
    },
  }
}
