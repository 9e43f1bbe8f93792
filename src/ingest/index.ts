export { calibrationFolder } from './calibration-folder.js'
export { type DeviceClockFit, fitDeviceClock, type PooledClockRate, poolClockRates } from './device-clock.js'
export type { DeviceClockFault } from './device-clock-fault.js'
export { type InferenceHints, type InferredFormat, inferFormat } from './infer-format.js'
export { LineAssembler, type LineAssemblerOptions, LONGEST_LINE_BYTES } from './line-assembler.js'
export { type FormatHints, type LineFormat, spreadsheetNumberFormat } from './line-format.js'
export { type IngestOptions, ingestLines } from './lines-to-samples.js'
export { listPorts, type PortInfo } from './list-ports.js'
export { type LineRefusal, type ParsedLine, parseLine } from './parse-line.js'
export { portError } from './port-errors.js'
export { listReadoutProfiles, loadReadoutProfile, type ReadoutProfile } from './readout-profile.js'
export {
  DEFAULT_WAIT_S,
  openReconnectingReadout,
  type ReadoutLoss,
  type ReconnectingReadoutOptions,
} from './reconnecting-readout.js'
export { type LineRecording, openRecording, type StopwatchSheet } from './recording.js'
export { SampleCollector } from './sample-collector.js'
export {
  type Sample,
  SampleReader,
  type SampleReaderOptions,
  type SampleReaderSink,
} from './sample-reader.js'
export type { IngestedSamples, LineRejectionCode, RejectedLine, SampleSeries } from './sample-series.js'
export { monotonicS, openReadout, type ReadoutPort, type ReadoutPortOptions } from './serial-port.js'
export type { StampedLine } from './stamped-line.js'
export { checkStopwatchEntry, parseDirection, type StopwatchEntry } from './stopwatch-entry.js'
export { type Press, type PressKind, StopwatchTimer, type Timing } from './stopwatch-timer.js'
