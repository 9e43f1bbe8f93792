import { seededRandom } from './seeded-random.js'
import type { SentLine } from './simulated-readout.js'

/** The way from the readout to the host. */
export interface SerialLink {
  readonly baud: number
  /** Mean of the one-sided, exponential delay of a line before its first byte, s. */
  readonly jitterS: number
  /** A USB adapter hands its bytes over once in this time, s; 0 hands over each line whole. */
  readonly usbBatchS: number
}

/** 9600 baud, 8 data bits, through an adapter with the usual 16 ms timer (common practice, no source). */
export const USB_LINK: SerialLink = { baud: 9600, jitterS: 0.001, usbBatchS: 0.016 }

/** Bytes as a serial port hands them over. */
export interface ArrivedChunk {
  readonly bytes: Buffer
  /** Monotonic, s of the motion's time. */
  readonly arrivalS: number
}

/** Bits of a byte on the wire: start bit, 8 data bits, stop bit (by definition of 8N1). */
const BITS_PER_BYTE = 10

/**
 * Lines through a serial link: every byte takes its time on the wire, a line waits for the one before it,
 * and an adapter's timer cuts the stream without regard to lines.
 *
 * @param seed decides the delays and the phase of the adapter's timer
 * @throws RangeError when the baud rate is not positive
 */
export function* arrivingChunks(
  lines: Iterable<SentLine>,
  link: SerialLink,
  seed: number,
): Generator<ArrivedChunk> {
  if (!(link.baud > 0)) throw new RangeError(`a link needs a baud rate, not ${link.baud}`)
  const random = seededRandom(seed)
  const byteS = BITS_PER_BYTE / link.baud
  const phaseS = random.uniform() * link.usbBatchS
  let freeS = 0
  let batch = 0
  let pending: Buffer[] = []
  const batchTimeS = () => phaseS + batch * link.usbBatchS
  for (const { sampledS, bytes } of lines) {
    const delayS = -link.jitterS * Math.log1p(-random.uniform())
    const startS = Math.max(freeS, sampledS + delayS)
    freeS = startS + bytes.length * byteS
    if (link.usbBatchS === 0) {
      yield { bytes, arrivalS: freeS }
      continue
    }
    for (let from = 0; from < bytes.length; ) {
      const next = Math.ceil((startS + (from + 1) * byteS - phaseS) / link.usbBatchS)
      if (next > batch) {
        if (pending.length > 0) yield { bytes: Buffer.concat(pending), arrivalS: batchTimeS() }
        pending = []
        batch = next
      }
      // All bytes that are through by this batch's hand-over; at least the one that chose it.
      const through = Math.floor((batchTimeS() - startS) / byteS)
      const to = Math.min(bytes.length, Math.max(from + 1, through))
      pending.push(bytes.subarray(from, to))
      from = to
    }
  }
  if (pending.length > 0) yield { bytes: Buffer.concat(pending), arrivalS: batchTimeS() }
}
