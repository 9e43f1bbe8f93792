export {
  CURVE_FAMILIES,
  type DialCurve,
  dialCurve,
} from './dial-curves.js'
export type { DeviceTimeColumn, ReadoutShape } from './line-shapes.js'
export { type SeededRandom, seededRandom } from './seeded-random.js'
export { type ArrivedChunk, arrivingChunks, type SerialLink, USB_LINK } from './serial-link.js'
export { QUILLFEN_MILL, type SimulatedMill } from './simulated-mill.js'
export {
  INCH_READOUT,
  type ReadoutFaults,
  readoutLines,
  type SentLine,
  type SimulatedReadout,
} from './simulated-readout.js'
export { type RunTruth, type SimulatedRun, simulateRun, simulateSession } from './simulated-run.js'
export { stopwatchReading } from './simulated-stopwatch.js'
export {
  type DriveEvent,
  joinMotions,
  type TableMotion,
  type TraverseShape,
  traverseMotion,
} from './traverse-motion.js'
export {
  type KnobTurn,
  simulateTurnedTraverse,
  type TrueLevel,
  type TurnedTraverse,
} from './turned-dial.js'
export { csvRecording, jsonlRecording, stampedLines } from './write-recording.js'
