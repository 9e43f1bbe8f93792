import type { SerialLinkSettings } from '../../../src/ingest/learn/learn-framing.js'
import type { ByteSource } from '../../../src/ingest/learn/learn-link.js'
import type { ArrivedBytes } from '../../../src/ingest/learn/signal-quality.js'
import { type FramingErrors, receiveAs, type SentByte } from './serial-sampling.js'

/** An adapter hands its bytes over once in this time, s. */
const BATCH_S = 0.016
/** How often a listener is asked whether it has enough, s. */
const ASKED_EVERY_S = 0.1

/**
 * A wire on which `textAt` is sent line by line with the sender's speed and framing, and a receiver that may be set
 * otherwise. Time stands still between two calls of `listen`.
 *
 * @param textAt the n-th line with its terminator
 */
export function simulatedBytes(
  sender: SerialLinkSettings,
  textAt: (line: number) => string,
  linesPerS: number,
  errors: FramingErrors,
): ByteSource & { readonly listenedS: () => number } {
  const bitsPerByte = 1 + sender.dataBits + (sender.parity === 'none' ? 0 : 1) + sender.stopBits
  const byteS = bitsPerByte / sender.baudRate
  let nowS = 0
  let line = 0
  let freeS = 0
  /** Bytes from before `now` to some time after it. */
  let sent: SentByte[] = []
  const sendUntil = (untilS: number): void => {
    while (line / linesPerS <= untilS) {
      let startS = Math.max(freeS, line / linesPerS)
      for (const byte of Buffer.from(textAt(line), 'latin1')) {
        sent.push({ byte: sender.dataBits === 7 ? byte & 0x7f : byte, startS })
        startS += byteS
      }
      freeS = startS
      line += 1
    }
  }
  return {
    listenedS: () => nowS,
    listen: async (link, enough) => {
      const fromS = nowS
      const chunks: ArrivedBytes[] = []
      do {
        const pieceFromS = nowS
        nowS += ASKED_EVERY_S
        sendUntil(nowS)
        // From the start of this call: a receiver goes on where it was.
        const heard = sent.filter((byte) => byte.startS + byteS > fromS)
        const received = receiveAs(heard, sender, link, errors).filter(
          ({ atS }) => atS > Math.max(fromS, pieceFromS) && atS <= nowS,
        )
        chunks.push(...inBatches(received))
      } while (!enough(chunks, nowS - fromS))
      sent = sent.filter((byte) => byte.startS + 2 * byteS > nowS)
      return chunks
    },
  }
}

function inBatches(received: readonly { readonly byte: number; readonly atS: number }[]): ArrivedBytes[] {
  const batches = new Map<number, number[]>()
  for (const { byte, atS } of received) {
    const batch = Math.ceil(atS / BATCH_S)
    const bytes = batches.get(batch)
    if (bytes) bytes.push(byte)
    else batches.set(batch, [byte])
  }
  return [...batches].map(([batch, bytes]) => ({ bytes: Uint8Array.from(bytes), arrivalS: batch * BATCH_S }))
}
