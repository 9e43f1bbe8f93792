import { type LengthUnit, mmPer } from '../units/index.js'
import { spreadsheetNumberFormat } from './line-format.js'
import { type IngestOptions, RECORDING_DECIDES_AFTER } from './lines-to-samples.js'
import type { LineRecording } from './recording.js'
import { SampleCollector } from './sample-collector.js'
import type { IngestedSamples } from './sample-series.js'
import type { StampedLine } from './stamped-line.js'

/**
 * Reads an opened recording to its end. What the file itself says (its unit, numbers written by a
 * spreadsheet) goes before the options; damaged rows are counted as `garbled` lines.
 *
 * @param onLine called for every line as it comes, before anything is concluded: to store raw data
 * @throws UsageError, DataError as `inferFormat` and the readers of the files do
 */
export async function ingestRecording(
  recording: LineRecording,
  options: IngestOptions,
  onLine: (line: StampedLine) => void = () => {},
): Promise<IngestedSamples> {
  const bareUnit: LengthUnit = recording.unit ?? options.bareUnit
  const format =
    recording.numbers === 'spreadsheet'
      ? spreadsheetNumberFormat(
          recording.unit === null ? (options.countLengthMm ?? mmPer(bareUnit)) : mmPer(bareUnit),
        )
      : options.format
  const collector = new SampleCollector({
    decideAfter: RECORDING_DECIDES_AFTER,
    ...options,
    bareUnit,
    format,
  })
  let lastS = 0
  for await (const line of recording.lines) {
    lastS = line.timeS
    onLine(line)
    collector.feed(line)
  }
  for (let row = 0; row < recording.damagedRows(); row += 1)
    collector.reject({ timeS: lastS, code: 'garbled' })
  collector.end()
  const ingested = collector.result()
  if (recording.numbers === 'as-sent') return ingested
  return {
    ...ingested,
    conclusions: [`The positions of the table are taken as ${sayUnit(recording, options)}.`],
  }
}

function sayUnit(recording: LineRecording, options: IngestOptions): string {
  if (recording.unit !== null) return `${recording.unit}, as its header says`
  if (options.countLengthMm !== undefined) return `counts of ${options.countLengthMm} mm`
  return options.bareUnit
}
