export {
  type ClockAgreement,
  type ClockExchange,
  clockAgreement,
  clockOffset,
} from './clock/clock-exchange.js'
export {
  type DeviceClockFit,
  fitDeviceClock,
  type PooledClockRate,
  poolClockRates,
} from './clock/device-clock.js'
export type { DeviceClockFault } from './clock/device-clock-fault.js'
export { sessionTiming } from './clock/session-timing.js'
export { expectedWireTime, type WireTime } from './clock/wire-time.js'
export { MOST_TEXT_BYTES, openGivenFile, readGivenText } from './files/given-file.js'
export {
  moveOf,
  sayColumn,
  whichMoved,
} from './learn/learn-axis.js'
export {
  type Framing,
  parseFraming,
  type SerialLinkSettings,
  sayFraming,
  sayLink,
  withDataBits,
} from './learn/learn-framing.js'
export { type ByteSource, findLink, isEndless, type LinkTrial } from './learn/learn-link.js'
export { type ListeningPort, listeningPort } from './learn/learn-port.js'
export { learnedProfile } from './learn/learn-profile.js'
export {
  checkLineUnit,
  type FittedScale,
  fitScale,
  type KnownMove,
  lineUnitMm,
  PLAUSIBLE_ANGLE_SCALES,
  PLAUSIBLE_SCALES,
  sayOff,
} from './learn/learn-scale.js'
export {
  type ColumnSeries,
  columnSeries,
  type LearnedColumn,
  type LearnedShape,
  learnShape,
} from './learn/learn-shape.js'
export { measureReadout } from './learn/learn-timing.js'
export type { ArrivedBytes, SignalQuality } from './learn/signal-quality.js'
export { type InferenceHints, inferFormat } from './lines/infer-format.js'
export { LineAssembler, LONGEST_LINE_BYTES } from './lines/line-assembler.js'
export { type FormatHints, type LineFormat, spreadsheetNumberFormat } from './lines/line-format.js'
export { OtherAxisWatch, type OtherNumber } from './lines/other-axis-watch.js'
export { type ParsedLine, parseLine } from './lines/parse-line.js'
export type { StampedLine } from './lines/stamped-line.js'
export { type HostClock, hostClock, monotonicS } from './port/host-clock.js'
export { listPorts, type PortInfo } from './port/list-ports.js'
export type { PollCounts } from './port/polled-answers.js'
export { type Polling, pollingOf } from './port/polled-request.js'
export { portAccess } from './port/port-access.js'
export { portError } from './port/port-errors.js'
export {
  openReconnectingReadout,
  type ReadoutLoss,
  type ReconnectingReadoutOptions,
} from './port/reconnecting-readout.js'
export { openReadout, type ReadoutPort, type ReadoutPortOptions } from './port/serial-port.js'
export { calibrationFolder } from './profiles/calibration-folder.js'
export {
  lengthUnitOf,
  type MeasuredReadout,
  type ReadoutProfile,
  type SerialFraming,
} from './profiles/readout-profile.js'
export {
  checkProfileName,
  listReadoutProfiles,
  listUserProfiles,
  loadReadoutProfile,
  saveUserProfile,
} from './profiles/readout-profile-list.js'
export { type IngestOptions, ingestLines } from './recordings/lines-to-samples.js'
export { type LineRecording, openRecording, type StopwatchSheet } from './recordings/recording.js'
export { SampleCollector } from './recordings/sample-collector.js'
export {
  type Sample,
  SampleReader,
  type SampleReaderOptions,
} from './recordings/sample-reader.js'
export type {
  IngestedSamples,
  LineRejectionCode,
  RejectedLine,
  SampleSeries,
} from './recordings/sample-series.js'
export { checkStopwatchEntry, type StopwatchEntry } from './recordings/stopwatch-entry.js'
export { type Press, StopwatchTimer, type Timing } from './recordings/stopwatch-timer.js'
export {
  checkReadings,
  type TimedReadings,
  type TimedRun,
  throughFullTurns,
} from './recordings/timed-run.js'
