import type { SerialLinkSettings } from '../../../src/ingest/learn/learn-framing.js'

/** A byte whose stop bit is missing: handed on as it is, as a zero, or not at all; drivers differ. */
export type FramingErrors = 'as-is' | 'zero' | 'dropped'

/** A byte as it goes onto the wire, from its start bit on. */
export interface SentByte {
  readonly byte: number
  readonly startS: number
}

/**
 * What a receiver set to `receiver` makes of bytes sent with `sender`: a start bit is waited for, every bit is
 * sampled once in its middle, and after a missing stop bit the line has to go high before the next start bit. This
 * is how common serial receivers work (from memory).
 */
export function receiveAs(
  sent: readonly SentByte[],
  sender: SerialLinkSettings,
  receiver: SerialLinkSettings,
  errors: FramingErrors,
): { readonly byte: number; readonly atS: number }[] {
  const wire = levelChanges(sent, sender)
  const bitS = 1 / receiver.baudRate
  const bits = receiver.dataBits + (receiver.parity === 'none' ? 0 : 1)
  const received: { byte: number; atS: number }[] = []
  let cursor = 0
  const levelAt = (timeS: number): boolean => {
    while (cursor + 1 < wire.length && wire[cursor + 1]!.atS <= timeS) cursor += 1
    while (cursor > 0 && wire[cursor]!.atS > timeS) cursor -= 1
    return wire[cursor]!.high
  }
  let index = 1
  while (index < wire.length) {
    const edge = wire[index]!
    if (edge.high) {
      index += 1
      continue
    }
    let readyS = edge.atS + 0.5 * bitS
    if (!levelAt(readyS)) {
      let byte = 0
      let ones = 0
      for (let bit = 0; bit < bits; bit += 1) {
        const high = levelAt(edge.atS + (1.5 + bit) * bitS)
        if (high) ones += 1
        if (high && bit < receiver.dataBits) byte |= 1 << bit
      }
      readyS = edge.atS + (1.5 + bits) * bitS
      const stopped = levelAt(readyS)
      const parityFits = receiver.parity === 'none' || ones % 2 === (receiver.parity === 'even' ? 0 : 1)
      if ((stopped && parityFits) || errors === 'as-is') received.push({ byte, atS: readyS })
      else if (errors === 'zero') received.push({ byte: 0, atS: readyS })
    }
    // The next falling edge after this byte; a line that is still low has to go high first.
    while (index < wire.length && wire[index]!.atS <= readyS) index += 1
  }
  return received
}

function levelChanges(
  sent: readonly SentByte[],
  { baudRate, dataBits, parity }: SerialLinkSettings,
): { readonly atS: number; readonly high: boolean }[] {
  const changes = [{ atS: Number.NEGATIVE_INFINITY, high: true }]
  const level = (atS: number, high: boolean) => {
    if (changes.at(-1)!.high !== high) changes.push({ atS, high })
  }
  for (const { byte, startS } of sent) {
    let ones = 0
    level(startS, false)
    for (let bit = 0; bit < dataBits; bit += 1) {
      const high = ((byte >> bit) & 1) === 1
      if (high) ones += 1
      level(startS + (1 + bit) / baudRate, high)
    }
    let atBits = 1 + dataBits
    if (parity !== 'none') {
      level(startS + atBits / baudRate, (ones % 2 === 1) === (parity === 'even'))
      atBits += 1
    }
    level(startS + atBits / baudRate, true)
  }
  return changes
}
