import { UsageError } from '../../errors/index.js'
import type { SerialFraming } from '../profiles/readout-profile.js'
import type { ArrivedBytes } from './signal-quality.js'

/** Speed and framing of a serial line, whole. */
export type SerialLinkSettings = { readonly [K in keyof SerialFraming]-?: NonNullable<SerialFraming[K]> }

export type Framing = Omit<SerialLinkSettings, 'baudRate'>

/** 8 data bits, no parity, 1 stop bit: by far the most usual (common practice, no source). */
export const FRAMING_8N1: Framing = { dataBits: 8, parity: 'none', stopBits: 1 }

/**
 * Share of bytes whose eighth bit must follow a rule before it is taken for one. Judgement: of text in another
 * framing half follow by chance; 2 % are left for damage. Stricter than for numbers (0.95), since there are many
 * more bytes.
 */
const RULE_SHARE = 0.98

/** `9600 8N1`. */
export function sayLink({ baudRate, ...framing }: SerialLinkSettings): string {
  return `${baudRate} ${sayFraming(framing)}`
}

/** `8N1`, `7E1` … */
export function sayFraming({ dataBits, parity, stopBits }: Framing): string {
  return `${dataBits}${{ none: 'N', even: 'E', odd: 'O' }[parity]}${stopBits}`
}

/** Reads `8N1`, `7e1` … @throws UsageError `bad-framing` */
export function parseFraming(text: string): Framing {
  const match = /^([78])([NEO])([12])$/i.exec(text.trim())
  if (match === null) {
    throw new UsageError(
      'bad-framing',
      `"${text}" is not a framing.`,
      'Write data bits, parity and stop bits like 8N1, 7E1 or 8O1.',
    )
  }
  return {
    dataBits: match[1] === '7' ? 7 : 8,
    parity: ({ N: 'none', E: 'even', O: 'odd' } as const)[match[2]!.toUpperCase() as 'N' | 'E' | 'O'],
    stopBits: match[3] === '2' ? 2 : 1,
  }
}

/**
 * What bytes that were received as 8N1 say about the framing they were sent with: 7 data bits with a parity bit, or
 * with a second stop bit, have just as many bits, and what follows the seven shows as the eighth.
 */
export function framingSeenAs8N1(chunks: readonly ArrivedBytes[]): Framing {
  let bytes = 0
  let high = 0
  let even = 0
  for (const chunk of chunks) {
    for (const byte of chunk.bytes) {
      bytes += 1
      if (byte >= 0x80) high += 1
      if (onesIn(byte) % 2 === 0) even += 1
    }
  }
  if (high === 0) return FRAMING_8N1
  if (even >= RULE_SHARE * bytes) return { dataBits: 7, parity: 'even', stopBits: 1 }
  if (bytes - even >= RULE_SHARE * bytes) return { dataBits: 7, parity: 'odd', stopBits: 1 }
  if (high >= RULE_SHARE * bytes) return { dataBits: 7, parity: 'none', stopBits: 2 }
  return FRAMING_8N1
}

/** The bytes without their eighth bit where the framing has but seven. */
export function withDataBits(chunks: readonly ArrivedBytes[], dataBits: 7 | 8): readonly ArrivedBytes[] {
  if (dataBits === 8) return chunks
  return chunks.map(({ bytes, arrivalS }) => ({ bytes: bytes.map((byte) => byte & 0x7f), arrivalS }))
}

function onesIn(byte: number): number {
  let ones = 0
  for (let rest = byte; rest > 0; rest >>= 1) ones += rest & 1
  return ones
}
