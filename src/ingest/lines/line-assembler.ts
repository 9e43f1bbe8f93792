import { ReadlineParser } from '@serialport/parser-readline'
import type { RejectedLine } from '../recordings/sample-series.js'
import type { StampedLine } from './stamped-line.js'

/**
 * Longest line kept, bytes without its terminator. Judgement: no readout sends longer ones; a wrong baud rate
 * does.
 */
export const LONGEST_LINE_BYTES = 4096

/** Line feed (ASCII, by definition). */
const LF = 0x0a
/** Carriage return (ASCII, by definition). */
const CR = 0x0d

interface LineAssemblerOptions {
  /** Called for every complete line, in order, before `push` returns. */
  readonly onLine: (line: StampedLine) => void
  /** Called for what was dropped: `blank`, `overlong`, `partial`. */
  readonly onRejected: (rejected: RejectedLine) => void
  /** The source was already sending when it was opened, so that the first line may lack its front. */
  readonly dropFirst: boolean
}

/**
 * Bytes to stamped lines: a guard in front of a readline parser. The parser alone loses the arrival
 * time of its chunks, knows one terminator, grows for ever (in quadratic time) without one, and hands
 * out an unterminated tail as if it were a line. The guard takes CR, LF and CRLF as one terminator
 * each, cuts off over-long lines, and stamps every line with the arrival of the chunk that completed it.
 *
 * Make a new one at every opening of a source: what was left of an old line must never be glued to a new one.
 *
 * @example
 * const assembler = new LineAssembler({ onLine, onRejected, dropFirst: true })
 * port.on('data', (bytes) => assembler.push(bytes, nowS()))
 */
export class LineAssembler {
  private readonly options: LineAssemblerOptions
  private readonly parser: ReadlineParser
  private arrivalS = 0
  /** The unfinished line at its front; the parser sees whole lines only. */
  private held = Buffer.allocUnsafe(2 * LONGEST_LINE_BYTES)
  private heldBytes = 0
  private dropNext: boolean
  private skipping = false
  private afterCr = false

  constructor(options: LineAssemblerOptions) {
    this.options = options
    this.dropNext = options.dropFirst
    // Object mode keeps one line one event; a stream of strings may glue them together.
    this.parser = new ReadlineParser({ delimiter: '\n', encoding: 'latin1', readableObjectMode: true })
    // A flowing transform hands its output on within write(), so arrivalS is that of the completing chunk.
    this.parser.on('data', (text: string) => this.deliver(text))
  }

  /** Takes the next chunk; `arrivalS` is its arrival in s on a monotonic clock. */
  push(bytes: Uint8Array, arrivalS: number): void {
    this.arrivalS = arrivalS
    const held = this.heldWithRoomFor(bytes.length)
    let { heldBytes, skipping, afterCr } = this
    let wholeBytes = 0
    for (let i = 0; i < bytes.length; i += 1) {
      const byte = bytes[i]!
      if (byte === LF && afterCr) {
        afterCr = false
        continue
      }
      afterCr = byte === CR
      if (byte === LF || afterCr) {
        if (!skipping) held[heldBytes++] = LF
        skipping = false
        wholeBytes = heldBytes
      } else if (!skipping) {
        if (heldBytes - wholeBytes < LONGEST_LINE_BYTES) {
          held[heldBytes++] = byte
        } else {
          skipping = true
          heldBytes = wholeBytes
          // Whole lines before it in this chunk are yet to be handed on, the first of them to be dropped.
          if (wholeBytes === 0) this.dropNext = false
          this.options.onRejected({ timeS: arrivalS, code: 'overlong' })
        }
      }
    }
    this.heldBytes = heldBytes - wholeBytes
    this.skipping = skipping
    this.afterCr = afterCr
    if (wholeBytes === 0) return
    // A copy: a parser that were made to wait would otherwise read what comes later.
    this.parser.write(Buffer.from(held.subarray(0, wholeBytes)))
    held.copyWithin(0, wholeBytes, heldBytes)
  }

  /** The source ended: an unterminated tail may be the front of a longer number and is refused. */
  end(arrivalS: number): void {
    if (this.heldBytes > 0) this.options.onRejected({ timeS: arrivalS, code: 'partial' })
    this.heldBytes = 0
    this.parser.destroy()
  }

  private heldWithRoomFor(chunkBytes: number): Buffer {
    if (this.held.length < this.heldBytes + chunkBytes) {
      const larger = Buffer.allocUnsafe(this.heldBytes + chunkBytes)
      this.held.copy(larger, 0, 0, this.heldBytes)
      this.held = larger
    }
    return this.held
  }

  private deliver(text: string): void {
    if (this.dropNext) {
      this.dropNext = false
      this.options.onRejected({ timeS: this.arrivalS, code: 'partial' })
    } else if (isBlank(text)) {
      this.options.onRejected({ timeS: this.arrivalS, code: 'blank' })
    } else {
      this.options.onLine({ timeS: this.arrivalS, text })
    }
  }
}

function isBlank(text: string): boolean {
  for (let i = 0; i < text.length; i += 1) {
    const code = text.charCodeAt(i)
    if (code !== 0x20 && code !== 0x09) return false
  }
  return true
}
