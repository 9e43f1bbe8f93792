import type { StampedLine } from '../lines/stamped-line.js'
import { SampleCollector } from './sample-collector.js'
import type { SampleReaderOptions } from './sample-reader.js'
import type { IngestedSamples } from './sample-series.js'

/**
 * Lines of a recording looked at before its format is decided. Judgement: most of a traverse at usual rates.
 */
const RECORDING_DECIDES_AFTER = 5000

/** What is known about the lines of a recording beforehand. */
export type IngestOptions = SampleReaderOptions

/**
 * The lines of one recording to the samples of one axis.
 *
 * @throws UsageError, DataError as `inferFormat` does
 * @example
 * const { samples, rejected } = ingestLines(lines, { axis: 'x', bareUnit: 'in' })
 */
export function ingestLines(lines: Iterable<StampedLine>, options: IngestOptions): IngestedSamples {
  const collector = new SampleCollector({ decideAfter: RECORDING_DECIDES_AFTER, ...options })
  for (const line of lines) collector.feed(line)
  collector.end()
  return collector.result()
}
