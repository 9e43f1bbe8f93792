import { GrowingColumn } from './growing-column.js'
import { lastDigitMm, positionStepMm } from './position-step.js'
import { SampleReader, type SampleReaderOptions } from './sample-reader.js'
import type { IngestedSamples, RejectedLine } from './sample-series.js'
import type { StampedLine } from './stamped-line.js'

/**
 * Gathers what a `SampleReader` hands out into columns. A live capture feeds it too, and may ask for
 * the samples so far at any time.
 */
export class SampleCollector {
  private readonly reader: SampleReader
  private readonly timeS = new GrowingColumn()
  private readonly positionMm = new GrowingColumn()
  private readonly deviceTimeS = new GrowingColumn()
  private readonly rejected: RejectedLine[] = []
  private unread = 0

  constructor(options: SampleReaderOptions) {
    this.reader = new SampleReader(options, {
      onSample: (sample) => {
        this.timeS.push(sample.timeS)
        this.positionMm.push(sample.positionMm)
        if (sample.deviceTimeS !== null) this.deviceTimeS.push(sample.deviceTimeS)
      },
      onRejected: (rejected) => this.rejected.push(rejected),
    })
  }

  /** Takes the next line; throws as `SampleReader.feed` does. */
  feed(line: StampedLine): void {
    this.reader.feed(line)
  }

  /** Counts a line that never became text: refused by the assembler, or a damaged row of a file. */
  reject(rejected: RejectedLine): void {
    this.unread += 1
    this.rejected.push(rejected)
  }

  /** The source ended; throws as `SampleReader.end` does. */
  end(): void {
    this.reader.end()
  }

  /** What the lines so far came to. */
  result(): IngestedSamples {
    const { format } = this.reader
    const positionMm = this.positionMm.values()
    return {
      samples: {
        timeS: this.timeS.values(),
        positionMm,
        deviceTimeS: format?.ticks ? this.deviceTimeS.values() : null,
      },
      linesRead: this.reader.linesRead + this.unread,
      rejected: [...this.rejected],
      positionStepMm: format === null ? 0 : positionStepMm(positionMm, lastDigitMm(format, positionMm)),
      conclusions: this.reader.conclusions,
    }
  }
}
