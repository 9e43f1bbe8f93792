import { UsageError } from '../../errors/index.js'
import { pollingOf, type ReadoutPortOptions, type ReadoutProfile } from '../../ingest/index.js'
import { parseNumber } from '../../units/index.js'

const USUAL_BAUD_RATE = 9600

/**
 * How to open the port of a readout: speed and framing from the options, else from the profile, else 9600 8N1; and
 * what to ask it with, where the profile says so.
 *
 * @throws UsageError `bad-baud`
 */
export function portLink(
  options: { readonly baud?: string | undefined },
  profile: ReadoutProfile | null,
): Pick<ReadoutPortOptions, 'baudRate' | 'dataBits' | 'parity' | 'stopBits' | 'polling'> {
  const serial = profile?.serial
  return {
    baudRate: baudRate(options.baud) ?? serial?.baudRate ?? USUAL_BAUD_RATE,
    dataBits: serial?.dataBits,
    parity: serial?.parity,
    stopBits: serial?.stopBits,
    polling: pollingOf(profile),
  }
}

/** The baud rate that was asked for, or null. @throws UsageError `bad-baud` */
export function baudRate(text: string | undefined): number | null {
  if (text === undefined) return null
  const baud = parseNumber(text, '--baud')
  if (Number.isInteger(baud) && baud > 0) return baud
  throw new UsageError(
    'bad-baud',
    `--baud: ${text} is no baud rate.`,
    'Usual ones are 9600, 19200, 38400, 57600 and 115200.',
  )
}
