import { pollingOf, type ReadoutPortOptions, type ReadoutProfile } from '../../ingest/index.js'

/** Speed of a port for which nobody named one, baud (common practice, no source). */
const USUAL_BAUD_RATE = 9600

/** What opening a port needs to know besides its path. */
export type PortLink = Pick<ReadoutPortOptions, 'baudRate' | 'dataBits' | 'parity' | 'stopBits' | 'polling'>

/**
 * How to open the port of a readout: at the speed that was asked for, else the profile's, else 9600; framing from the
 * profile, else 8N1; and what to ask the readout with, where the profile says so.
 */
export function portLink(baudRate: number | null, profile: ReadoutProfile | null): PortLink {
  const serial = profile?.serial
  return {
    baudRate: baudRate ?? serial?.baudRate ?? USUAL_BAUD_RATE,
    dataBits: serial?.dataBits,
    parity: serial?.parity,
    stopBits: serial?.stopBits,
    polling: pollingOf(profile),
  }
}
