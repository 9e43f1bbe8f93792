import { ReadlineParser } from '@serialport/parser-readline'
import type { RejectedLine } from './sample-series.js'
import type { StampedLine } from './stamped-line.js'

/** Longest line kept, bytes without its terminator. No readout sends longer ones; a wrong baud rate does. */
export const LONGEST_LINE_BYTES = 4096

const LF = 0x0a
const CR = 0x0d

export interface LineAssemblerOptions {
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
  private parser: ReadlineParser
  private arrivalS = 0
  /** Bytes of the unfinished line. */
  private lineBytes = 0
  private dropNext: boolean
  private skipping = false
  private afterCr = false

  constructor(options: LineAssemblerOptions) {
    this.options = options
    this.dropNext = options.dropFirst
    this.parser = this.freshParser()
  }

  /** Takes the next chunk; `arrivalS` is its arrival in s on a monotonic clock. */
  push(bytes: Uint8Array, arrivalS: number): void {
    this.arrivalS = arrivalS
    const clean = Buffer.allocUnsafe(bytes.length)
    let from = 0
    let to = 0
    let lineStart = 0
    let { lineBytes, skipping, afterCr } = this
    for (let i = 0; i < bytes.length; i += 1) {
      const byte = bytes[i]!
      if (byte === LF && afterCr) {
        afterCr = false
        continue
      }
      afterCr = byte === CR
      if (byte === LF || afterCr) {
        lineBytes = 0
        if (skipping) {
          skipping = false
          continue
        }
        clean[to++] = LF
        lineStart = to
      } else if (!skipping) {
        lineBytes += 1
        if (lineBytes <= LONGEST_LINE_BYTES) {
          clean[to++] = byte
          continue
        }
        if (lineStart > from) this.parser.write(clean.subarray(from, lineStart))
        from = lineStart = to
        skipping = true
        this.forgetLine()
      }
    }
    this.lineBytes = lineBytes
    this.skipping = skipping
    this.afterCr = afterCr
    if (to > from) this.parser.write(clean.subarray(from, to))
  }

  /** The source ended: an unterminated tail may be the front of a longer number and is refused. */
  end(arrivalS: number): void {
    if (this.lineBytes > 0 && !this.skipping) this.options.onRejected({ timeS: arrivalS, code: 'partial' })
    this.lineBytes = 0
    this.parser.destroy()
  }

  /** Leaves an over-long line behind together with the parser that holds its front. */
  private forgetLine(): void {
    this.parser.destroy()
    this.parser = this.freshParser()
    this.dropNext = false
    this.options.onRejected({ timeS: this.arrivalS, code: 'overlong' })
  }

  private freshParser(): ReadlineParser {
    // Object mode keeps one line one event; a stream of strings may glue them together.
    const parser = new ReadlineParser({ delimiter: '\n', encoding: 'latin1', readableObjectMode: true })
    // A flowing transform hands its output on within write(), so arrivalS is that of the completing chunk.
    parser.on('data', (text: string) => this.deliver(text))
    return parser
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
