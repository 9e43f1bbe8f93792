import { DataError, TablepaceError } from '../../errors/index.js'
import { ArrivalSpread } from '../clock/arrival-spread.js'
import { TickUnwrapper } from '../clock/tick-unwrapper.js'
import { AngleUnwrapper } from '../lines/angle-unwrapper.js'
import { FormatChange } from '../lines/format-change.js'
import { type InferenceHints, inferFormat } from '../lines/infer-format.js'
import { LONGEST_LINE_BYTES } from '../lines/line-assembler.js'
import type { LineFormat } from '../lines/line-format.js'
import { type ParsedLine, parseLine } from '../lines/parse-line.js'
import type { StampedLine } from '../lines/stamped-line.js'
import type { LineRejectionCode, RejectedLine } from './sample-series.js'

/** One position read from a line. */
export interface Sample {
  readonly timeS: number
  readonly positionMm: number
  /** Of the readout's own clock, unwrapped, s; null without one. */
  readonly deviceTimeS: number | null
  /** Characters of its line without terminator. */
  readonly lineBytes: number
}

export interface SampleReaderOptions extends InferenceHints {
  /** Known beforehand; without it the format is worked out from the first lines. */
  readonly format?: LineFormat | undefined
  /**
   * Lines to look at before the format is decided. Few for live use, so that the first position is
   * shown soon; many for a recording, which can wait. Default 20.
   */
  readonly decideAfter?: number | undefined
  /** Of the wire, where it is known; else the profile may tell it. */
  readonly baudRate?: number | undefined
}

interface SampleReaderSink {
  readonly onSample: (sample: Sample) => void
  readonly onRejected: (rejected: RejectedLine) => void
}

interface ReadLine {
  readonly parsed: ParsedLine
  readonly lineBytes: number
}

/**
 * Lines kept while the format is open. Judgement: beyond that no more lines will help, and the memory is bounded.
 */
const MOST_UNDECIDED_LINES = 200_000
/** Lines looked at at both ends of a longer stretch. Judgement: as `RECORDING_DECIDES_AFTER`. */
const LINES_LOOKED_AT = 5000
/**
 * Shortest time looked at, s. Judgement: a clock shows only over some time, however fast the lines come
 * (`SHORTEST_LAG_S`, 0.4 s).
 */
const SHORTEST_LOOK_S = 1
/** Failures that more lines may mend, such as a column that does not move yet. */
const WAITS_FOR_MORE = new Set([
  'no-column-moves',
  'no-common-shape',
  'no-usable-lines',
  'comma-ambiguous',
  'clock-ambiguous',
])

/**
 * Stamped lines to samples, one after the other, the same for a live port and for a recording.
 * While the format is open, lines are kept and come out as soon as it is decided. Lines that arrived
 * together come out when the next arrival shows that the batch is complete.
 *
 * @example
 * const reader = new SampleReader({ axis: 'x', bareUnit: 'in' }, { onSample, onRejected })
 * for (const line of lines) reader.feed(line)
 * reader.end()
 */
export class SampleReader {
  private readonly options: SampleReaderOptions
  private readonly sink: SampleReaderSink
  private decided: LineFormat | null = null
  private said: readonly string[] = []
  private undecided: StampedLine[] = []
  private decideAt: number
  private batch: ReadLine[] = []
  private batchS = Number.NEGATIVE_INFINITY
  private beforeBatchS = Number.NEGATIVE_INFINITY
  private readonly spread = new ArrivalSpread()
  private unwrapper: TickUnwrapper | null = null
  private readonly turns: AngleUnwrapper | null
  private readonly formatChange: FormatChange
  private lines = 0
  private placed = 0
  private arrivals = 0

  constructor(options: SampleReaderOptions, sink: SampleReaderSink) {
    this.options = options
    this.sink = sink
    this.turns = options.bareUnit === 'deg' ? new AngleUnwrapper() : null
    this.formatChange = new FormatChange(options)
    this.decideAt = options.decideAfter ?? 20
    if (options.format) this.use(options.format, [])
  }

  /** The format once it is decided, else null. */
  get format(): LineFormat | null {
    return this.decided
  }

  /** What was concluded about the format, one plain sentence each; empty while it is open. */
  get conclusions(): readonly string[] {
    return this.said
  }

  get linesRead(): number {
    return this.lines
  }

  /** Mean number of lines that came in one arrival; 1 before any came. */
  get linesPerArrival(): number {
    return this.arrivals === 0 ? 1 : this.placed / this.arrivals
  }

  /**
   * Takes the next line.
   *
   * @throws UsageError, DataError as `inferFormat` does, where more lines cannot mend it
   */
  feed(line: StampedLine): void {
    this.lines += 1
    if (this.decided !== null) {
      this.read(line, this.decided)
      return
    }
    this.undecided.push(line)
    const spanS = line.timeS - this.undecided[0]!.timeS
    const kept = this.undecided.length
    if (kept < this.decideAt || (spanS < SHORTEST_LOOK_S && kept < LINES_LOOKED_AT)) return
    this.decide(kept < MOST_UNDECIDED_LINES)
  }

  /**
   * The source ended: decides with what there is and hands out what was held back.
   *
   * @throws UsageError, DataError as `inferFormat` does
   */
  end(): void {
    if (this.decided === null) this.decide(false)
    this.settleRefused(true)
    this.flush(null)
  }

  private decide(mayWait: boolean): void {
    if (this.undecided.length === 0) {
      throw new DataError(
        'no-usable-lines',
        'No line came.',
        'Check that the readout sends by itself and the baud rate, or that the file is a recording of a readout.',
      )
    }
    try {
      const { format, conclusions } = inferFormat(outermost(this.undecided), this.options)
      this.use(format, conclusions)
    } catch (error) {
      if (!mayWait || !(error instanceof TablepaceError) || !WAITS_FOR_MORE.has(error.code)) throw error
      this.decideAt = Math.ceil(this.undecided.length * 1.25)
      return
    }
    const lines = this.undecided
    this.undecided = []
    for (const line of lines) this.read(line, this.decided!)
  }

  private use(format: LineFormat, conclusions: readonly string[]): void {
    this.decided = format
    this.said = conclusions
    this.unwrapper = format.ticks === null ? null : new TickUnwrapper(format.ticks)
  }

  private read(line: StampedLine, format: LineFormat): void {
    const parsed = line.text.length > LONGEST_LINE_BYTES ? 'overlong' : parseLine(line.text, format)
    if (parsed === 'other-axis') return
    if (parsed === 'garbled') {
      if (this.formatChange.refused(line)) this.settleRefused(false)
    } else if (typeof parsed === 'string') this.reject(line.timeS, parsed)
    else {
      for (const damaged of this.formatChange.sound(line)) this.reject(damaged.timeS, 'garbled')
      this.place(line, parsed)
    }
  }

  /** Lines refused in a row either have a second shape, and are read by it, or are damaged. */
  private settleRefused(atEnd: boolean): void {
    const found = this.formatChange.look(this.decided!, atEnd)
    if (found === null && !atEnd && !this.formatChange.isFull) return
    if (found !== null) {
      this.decided = found.format
      this.said = [...new Set([...this.said, ...found.conclusions])]
    }
    for (const line of this.formatChange.release()) {
      const parsed = parseLine(line.text, this.decided!)
      if (typeof parsed === 'string') this.reject(line.timeS, 'garbled')
      else this.place(line, parsed)
    }
  }

  /** Puts a parsed line into the batch of its arrival. */
  private place({ timeS, text }: StampedLine, parsed: ParsedLine): void {
    if (timeS < this.batchS) {
      // One stamp far ahead must not condemn all that follow: then the batch is the odd one out.
      if (
        timeS < this.beforeBatchS ||
        this.batch.length !== 1 ||
        this.beforeBatchS === Number.NEGATIVE_INFINITY
      ) {
        this.reject(timeS, 'time-backward')
        return
      }
      this.reject(this.batchS, 'time-backward')
      this.batch = []
    }
    if (timeS > this.batchS && this.batch.length > 0) this.flush(timeS)
    this.batchS = timeS
    this.batch.push({ parsed, lineBytes: text.length })
  }

  private flush(followingS: number | null): void {
    const { batch, batchS } = this
    if (batch.length === 0) return
    this.batch = []
    this.beforeBatchS = batchS
    this.placed += batch.length
    this.arrivals += 1
    const stepS = this.spread.stepS(batchS, batch.length, followingS)
    batch.forEach(({ parsed, lineBytes }, i) => {
      const timeS = batchS - (batch.length - 1 - i) * stepS
      const deviceTimeS = this.unwrapper === null ? null : this.unwrapper.next(parsed.ticks!, timeS)
      if (this.unwrapper !== null && deviceTimeS === null) this.reject(timeS, 'garbled')
      else {
        const positionMm = this.turns?.next(parsed.positionMm) ?? parsed.positionMm
        this.sink.onSample({ timeS, positionMm, deviceTimeS, lineBytes })
      }
    })
  }

  private reject(timeS: number, code: LineRejectionCode): void {
    this.sink.onRejected({ timeS, code })
  }
}

/** The first and the last lines of a long stretch: what moved since shows in them as well. */
function outermost(lines: readonly StampedLine[]): readonly StampedLine[] {
  if (lines.length <= 2 * LINES_LOOKED_AT) return lines
  return [...lines.slice(0, LINES_LOOKED_AT), ...lines.slice(-LINES_LOOKED_AT)]
}
