import { UsageError } from '../../errors/index.js'
import type { ReadoutProfile } from '../../ingest/index.js'
import { portLink as linkFor, type PortLink } from '../../jobs/index.js'
import { parseNumber } from '../../units/index.js'

/** How to open the port of a readout, with the speed from `--baud` where it is given. @throws UsageError `bad-baud` */
export function portLink(
  options: { readonly baud?: string | undefined },
  profile: ReadoutProfile | null,
): PortLink {
  return linkFor(baudRate(options.baud), profile)
}

/** The baud rate that was asked for, or null. @throws UsageError `bad-baud` */
export function baudRate(text: string | undefined): number | null {
  if (text === undefined) return null
  const baud = parseNumber(text, '--baud')
  if (Number.isInteger(baud) && baud > 0) return baud
  throw new UsageError(
    'bad-baud',
    `--baud: ${text} is not a baud rate.`,
    'Usual ones are 9600, 19200, 38400, 57600 and 115200.',
  )
}
