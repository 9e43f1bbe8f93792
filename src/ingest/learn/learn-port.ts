import type { SerialPort } from 'serialport'
import type { DeviceError } from '../../errors/index.js'
import { hostClock } from '../port/host-clock.js'
import { portError } from '../port/port-errors.js'
import type { SerialLinkSettings } from './learn-framing.js'
import type { ByteSource } from './learn-link.js'
import type { ArrivedBytes } from './signal-quality.js'

/** A port that is listened to with changing speeds; there is no way to write to it. */
export interface ListeningPort extends ByteSource {
  readonly close: () => Promise<void>
}

/** How often a listener is asked whether it has enough, s. Judgement: what a person does not notice. */
const ASKED_EVERY_S = 0.05
/**
 * Time for a port to close, ms; longer ones are left to the end of the process. Judgement, as in `serial-port.ts`.
 */
const CLOSE_TIMEOUT_MS = 1000

/**
 * A source of the bytes of one port. It stays open while only the speed changes, since opening a port restarts some
 * boards.
 *
 * @throws DeviceError from `listen`: `port-not-found`, `port-permission`, `port-busy`, `port-vanished`, `port-failed`
 */
export function listeningPort(path: string): ListeningPort {
  const clock = hostClock()
  let port: SerialPort | null = null
  let current: SerialLinkSettings | null = null
  let receive: (arrived: readonly ArrivedBytes[]) => void = () => {}
  let fail: (error: DeviceError) => void = () => {}

  async function open(link: SerialLinkSettings): Promise<void> {
    const { SerialPort } = await import('serialport')
    const opened = new SerialPort({ path, ...link, autoOpen: false })
    await new Promise<void>((resolve, reject) => {
      opened.open((error) => (error ? reject(portError(path, error)) : resolve()))
    })
    opened.on('data', (bytes: Buffer) => receive([...clock.stamped(bytes)]))
    opened.on('error', (error) => fail(portError(path, error)))
    opened.on('close', (error: unknown) => {
      if (error) fail(portError(path, error))
    })
    port = opened
  }

  async function close(): Promise<void> {
    const open = port
    port = null
    current = null
    if (open === null || !open.isOpen) return
    await new Promise<void>((resolve) => {
      const timeout = setTimeout(resolve, CLOSE_TIMEOUT_MS)
      open.close(() => {
        clearTimeout(timeout)
        resolve()
      })
    })
  }

  async function tune(link: SerialLinkSettings): Promise<void> {
    if (port !== null && current !== null && sameFraming(current, link)) {
      if (current.baudRate !== link.baudRate) {
        const open = port
        await new Promise<void>((resolve, reject) => {
          open.update({ baudRate: link.baudRate }, (error) =>
            error ? reject(portError(path, error)) : resolve(),
          )
        })
      }
    } else {
      await close()
      await open(link)
    }
    current = link
  }

  return {
    close,
    listen: async (link, enough) => {
      const chunks: ArrivedBytes[] = []
      await tune(link)
      const startS = clock.nowS()
      try {
        await new Promise<void>((resolve, reject) => {
          const stopAsking = clock.every(ASKED_EVERY_S, () => {
            if (!enough(chunks, clock.nowS() - startS)) return
            stopAsking()
            resolve()
          })
          fail = (error) => {
            stopAsking()
            reject(error)
          }
          receive = (arrived) => chunks.push(...arrived)
        })
      } finally {
        receive = () => {}
        fail = () => {}
      }
      return chunks
    },
  }
}

function sameFraming(a: SerialLinkSettings, b: SerialLinkSettings): boolean {
  return a.dataBits === b.dataBits && a.parity === b.parity && a.stopBits === b.stopBits
}
