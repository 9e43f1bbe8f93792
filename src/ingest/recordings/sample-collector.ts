import { fitDeviceClock } from '../clock/device-clock.js'
import { clockFaultWarning, type DeviceClockFault } from '../clock/device-clock-fault.js'
import { GrowingColumn } from '../lines/growing-column.js'
import { LineLengths } from '../lines/line-lengths.js'
import type { StampedLine } from '../lines/stamped-line.js'
import { lastDigitMm, positionStepMm } from './position-step.js'
import { SampleReader, type SampleReaderOptions } from './sample-reader.js'
import type { IngestedSamples, RejectedLine } from './sample-series.js'

/**
 * Gathers what a `SampleReader` hands out into columns. A live capture feeds it too, and may ask for
 * the samples so far at any time.
 */
export class SampleCollector {
  private readonly reader: SampleReader
  private readonly timeS = new GrowingColumn()
  private readonly positionMm = new GrowingColumn()
  private readonly deviceTimeS = new GrowingColumn()
  private readonly lineBytes = new LineLengths()
  private readonly options: SampleReaderOptions
  private readonly rejected: RejectedLine[] = []
  private unread = 0

  constructor(options: SampleReaderOptions) {
    this.options = options
    this.reader = new SampleReader(options, {
      onSample: (sample) => {
        this.timeS.push(sample.timeS)
        this.positionMm.push(sample.positionMm)
        this.lineBytes.push(sample.lineBytes)
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
    const timeS = this.timeS.values()
    const { deviceTimeS, fault } = this.deviceClock(timeS)
    const warnings = fault === null ? [] : [clockFaultWarning(fault)]
    // The cells of a spreadsheet are no lines that came over a wire.
    const lineBytes = this.options.format === undefined ? this.lineBytes.values() : null
    return {
      samples: { timeS, positionMm, deviceTimeS, ...(lineBytes === null ? {} : { lineBytes }) },
      linesRead: this.reader.linesRead + this.unread,
      rejected: [...this.rejected],
      positionStepMm: format === null ? 0 : positionStepMm(positionMm, lastDigitMm(format, positionMm)),
      baudRate: this.options.baudRate ?? this.options.profile?.serial?.baudRate ?? null,
      linesPerArrival: this.reader.linesPerArrival,
      unitInLines: format?.unitInLines === true,
      warnings,
      conclusions: [...this.reader.conclusions, ...warnings.map(({ message }) => message)],
    }
  }

  /** The readout's own time, left out where its clock cannot be trusted. */
  private deviceClock(timeS: Float64Array): {
    deviceTimeS: Float64Array | null
    fault: DeviceClockFault | null
  } {
    if (!this.reader.format?.ticks) return { deviceTimeS: null, fault: null }
    const deviceTimeS = this.deviceTimeS.values()
    const fault = fitDeviceClock(timeS, deviceTimeS)?.fault ?? null
    return { deviceTimeS: fault === null ? deviceTimeS : null, fault }
  }
}
