import type { SerialPort } from 'serialport'
import type { DeviceError } from '../../errors/index.js'
import { framingSeenAs8N1, sayFraming } from '../learn/learn-framing.js'
import { LineAssembler } from '../lines/line-assembler.js'
import { CONTROL_BYTES } from '../lines/parse-line.js'
import type { StampedLine } from '../lines/stamped-line.js'
import type { RejectedLine } from '../recordings/sample-series.js'
import { type HostClock, hostClock } from './host-clock.js'
import type { PollCounts } from './polled-answers.js'
import { type PolledPort, portUnanswered, startPolling } from './polled-port.js'
import type { Polling } from './polled-request.js'
import { portError, portFraming, portGarbage, portNoLineEnd, portSilent } from './port-errors.js'

export interface ReadoutPortOptions {
  /** `/dev/ttyUSB0`, `COM3` … */
  readonly path: string
  readonly baudRate: number
  /** Default 8. */
  readonly dataBits?: 7 | 8 | undefined
  /** Default `none`. */
  readonly parity?: 'none' | 'even' | 'odd' | undefined
  /** Default 1. */
  readonly stopBits?: 1 | 2 | undefined
  readonly onLine: (line: StampedLine) => void
  readonly onRejected: (rejected: RejectedLine) => void
  /** Called once, after the last line: null after `close()`, else what ended it. */
  readonly onClose: (error: DeviceError | null) => void
  /** For a readout that speaks only when asked; without it nothing is ever written. */
  readonly polling?: Polling | null | undefined
  /** s without a byte, or with hardly a readable line, after which the port is given up; 0 never. Default 10. */
  readonly silenceS?: number | undefined
  /** The clock that stamps arrivals and times the silence; the default is this computer's. */
  readonly clock?: HostClock | undefined
}

/** A port that is being read. */
export interface ReadoutPort {
  /** Ends reading; resolved once the port is closed, or after a second if it hangs. */
  readonly close: () => Promise<void>
  /** What became of the requests; null for a readout that sends by itself. */
  readonly pollCounts?: (() => PollCounts | null) | undefined
}

/**
 * Time for a port to close, ms; longer ones are left to the end of the process. Judgement: a closing port takes a
 * few ms, one whose adapter is gone may never end.
 */
const CLOSE_TIMEOUT_MS = 1000
/**
 * Share of readable lines that a wrong baud rate does not reach by chance. Judgement: it makes one now and then.
 */
const READABLE_SHARE = 0.2
/**
 * Latest bytes that are kept to tell what is wrong where hardly a line can be read. Judgement: a dozen lines.
 */
const LATEST_BYTES = 512
/** Characters of them that are shown. Judgement: half a line of a terminal. */
const SHOWN_CHARACTERS = 40
/** How often the silence is looked at, s. Judgement: a small part of the shortest one that is waited for. */
const WATCH_EVERY_S = 0.2

/**
 * Opens a serial port and hands out its lines, each stamped with the arrival of the chunk that
 * completed it. It only listens, unless `polling` says that the readout has to be asked: then a line is stamped with the
 * middle of its request and its arrival, and lines that answer nothing are refused as `unasked`.
 *
 * @throws DeviceError `port-not-found`, `port-permission`, `port-busy`, `port-failed`; later ones
 *   (`port-vanished`, `port-silent`, `port-garbage`, `port-framing`, `port-no-line-end`) come through `onClose`
 * @example
 * const port = await openReadout({ path: '/dev/ttyUSB0', baudRate: 9600, onLine, onRejected, onClose })
 */
export async function openReadout(options: ReadoutPortOptions): Promise<ReadoutPort> {
  const port = await openPort(options)
  return listen(port, options)
}

async function openPort(options: ReadoutPortOptions): Promise<SerialPort> {
  const { path, baudRate, dataBits = 8, parity = 'none', stopBits = 1 } = options
  // A native library: loaded only when a port is really used.
  const { SerialPort } = await import('serialport')
  return await new Promise((resolve, reject) => {
    const port = new SerialPort({ path, baudRate, dataBits, parity, stopBits, autoOpen: false })
    port.open((error) => (error ? reject(portError(path, error)) : resolve(port)))
  })
}

function listen(port: SerialPort, options: ReadoutPortOptions): ReadoutPort {
  const { path, baudRate, silenceS = 10, clock = hostClock() } = options
  const { nowS } = clock
  let lastByteS = nowS()
  let judgedS = lastByteS
  let lines = 0
  let readable = 0
  let latest = Buffer.alloc(0)
  let ended = false
  const receive = (line: StampedLine): void => {
    lines += 1
    if (isReadable(line.text)) readable += 1
    options.onLine(line)
  }
  const polled = options.polling ? poll(port, options, options.polling, clock, receive) : null
  const assembler = new LineAssembler({
    onLine: polled === null ? receive : polled.take,
    onRejected: options.onRejected,
    // Who is asked does not speak when the port is opened.
    dropFirst: polled === null,
  })
  const stopWatching = clock.every(WATCH_EVERY_S, () => {
    const now = nowS()
    if (silenceS <= 0) return
    if (now - lastByteS > silenceS) {
      const requests = polled?.counts().requests ?? 0
      finish(polled === null ? portSilent(path, silenceS) : portUnanswered(path, silenceS, requests))
    }
    if (now - judgedS <= silenceS) return
    if (readable <= READABLE_SHARE * lines) finish(unreadable(path, baudRate, silenceS, latest))
    judgedS = now
    lines = 0
    readable = 0
  })

  let closed: Promise<void> | null = null
  function finish(error: DeviceError | null): Promise<void> {
    closed ??= end(error)
    return closed
  }
  async function end(error: DeviceError | null): Promise<void> {
    ended = true
    stopWatching()
    polled?.stop()
    assembler.end(nowS())
    await closePort(port)
    options.onClose(error)
  }

  port.on('data', (handedOver: Buffer) => {
    for (const { bytes, arrivalS } of clock.stamped(handedOver)) {
      if (ended) return
      lastByteS = arrivalS
      latest = Buffer.concat([latest, bytes]).subarray(-LATEST_BYTES)
      assembler.push(bytes, arrivalS)
    }
  })
  port.on('error', (error) => void finish(portError(path, error)))
  // An unplugged adapter gives a close with an error that says so, and no error event.
  port.on('close', (error: unknown) => void finish(error ? portError(path, error) : null))
  return { close: () => finish(null), pollCounts: () => polled?.counts() ?? null }
}

function poll(
  port: SerialPort,
  options: ReadoutPortOptions,
  polling: Polling,
  clock: HostClock,
  onAnswer: (line: StampedLine) => void,
): PolledPort {
  return startPolling(polling, {
    // A failed write comes as an error or a close of the port.
    write: (bytes) => void port.write(bytes),
    clock,
    onAnswer,
    onUnasked: ({ timeS }) => options.onRejected({ timeS, code: 'unasked' }),
  })
}

/** Closing may hang with a read under way on some drivers; the lines are safe by then. */
async function closePort(port: SerialPort): Promise<void> {
  if (!port.isOpen) return
  await new Promise<void>((resolve) => {
    const timeout = setTimeout(resolve, CLOSE_TIMEOUT_MS)
    port.close(() => {
      clearTimeout(timeout)
      resolve()
    })
  })
}

/** Why hardly a line could be read, as far as the latest bytes tell. */
function unreadable(path: string, baudRate: number, overS: number, latest: Buffer): DeviceError {
  const text = latest.toString('latin1')
  if (isReadable(text)) return portNoLineEnd(path, overS, text.slice(0, SHOWN_CHARACTERS))
  const framing = framingSeenAs8N1([{ bytes: latest, arrivalS: 0 }])
  return framing.dataBits === 7 ? portFraming(path, sayFraming(framing)) : portGarbage(path, baudRate, overS)
}

/** Plain text with a number in it. */
function isReadable(text: string): boolean {
  return /\d/.test(text) && !CONTROL_BYTES.test(text) && /^[\t\x20-\x7e\xb0\xb5]*$/.test(text)
}
