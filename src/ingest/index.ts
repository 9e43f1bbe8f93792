export { calibrationFolder } from './calibration-folder.js'
export {
  type ClockAgreement,
  type ClockExchange,
  type ClockOffset,
  clockAgreement,
  clockOffset,
} from './clock-exchange.js'
export { type DeviceClockFit, fitDeviceClock, type PooledClockRate, poolClockRates } from './device-clock.js'
export type { DeviceClockFault } from './device-clock-fault.js'
export { type InferenceHints, type InferredFormat, inferFormat } from './infer-format.js'
export {
  type MovedColumn,
  moveOf,
  sayColumn,
  whichMoved,
} from './learn-axis.js'
export {
  type Framing,
  parseFraming,
  type SerialLinkSettings,
  sayFraming,
  sayLink,
  withDataBits,
} from './learn-framing.js'
export { type ByteSource, findLink, type LinkTrial } from './learn-link.js'
export { type ListeningPort, listeningPort } from './learn-port.js'
export { learnedProfile } from './learn-profile.js'
export {
  checkLineUnit,
  type FittedScale,
  fitScale,
  type KnownMove,
  lineUnitMm,
  sayOff,
} from './learn-scale.js'
export {
  type ColumnSeries,
  columnSeries,
  type LearnedColumn,
  type LearnedShape,
  learnShape,
} from './learn-shape.js'
export { measureReadout } from './learn-timing.js'
export { LineAssembler, type LineAssemblerOptions, LONGEST_LINE_BYTES } from './line-assembler.js'
export { type FormatHints, type LineFormat, spreadsheetNumberFormat } from './line-format.js'
export { type IngestOptions, ingestLines } from './lines-to-samples.js'
export { listPorts, type PortInfo } from './list-ports.js'
export { type LineRefusal, type ParsedLine, parseLine } from './parse-line.js'
export type { PollCounts } from './polled-answers.js'
export { type Polling, pollingOf } from './polled-request.js'
export { type PortAccess, portAccess } from './port-access.js'
export { portError } from './port-errors.js'
export type { MeasuredReadout, ReadoutProfile, SerialFraming } from './readout-profile.js'
export {
  checkProfileName,
  listReadoutProfiles,
  listUserProfiles,
  loadReadoutProfile,
  saveUserProfile,
} from './readout-profile-list.js'
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
export { type SessionTiming, sessionTiming } from './session-timing.js'
export type { ArrivedBytes, SignalQuality } from './signal-quality.js'
export type { StampedLine } from './stamped-line.js'
export { checkStopwatchEntry, parseDirection, type StopwatchEntry } from './stopwatch-entry.js'
export { type Press, type PressKind, StopwatchTimer, type Timing } from './stopwatch-timer.js'
export { expectedWireTime, type WireTime } from './wire-time.js'
