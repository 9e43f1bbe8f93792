import type { StampedLine } from '../ingest/index.js'
import type { NewRecording, Recording, StopwatchRecord } from './entities.js'

export declare class Recordings {
  /** Begins a readout recording; lines follow through `appendLines`. */
  start(recording: NewRecording): Recording
  /** Adds lines as they came; durable on return. Lines already there never change. */
  appendLines(recordingId: string, lines: readonly StampedLine[]): void
  /** Says that no more lines will come. */
  end(recordingId: string, nowIso: string): void
  /** Keeps one stopwatch entry as a recording of its own, already ended. */
  addStopwatch(recording: NewRecording, entry: StopwatchRecord): Recording
  /** @throws UsageError `unknown-recording` */
  get(recordingId: string): Recording
  /** Recordings of an axis in the order they were made. */
  list(axisId: number): Recording[]
  /** Readout recordings that were never ended: the program was stopped midway. */
  unfinished(axisId: number): Recording[]
  /** The lines in order, a chunk in memory at a time. */
  lines(recordingId: string): Generator<StampedLine>
  /** The same as text in the recording format, one `{"t":…,"line":…}` a line, in pieces that each end with a newline. */
  text(recordingId: string): Generator<string>
  /** The stopwatch entry of this recording, or null for a readout recording. */
  stopwatchEntry(recordingId: string): StopwatchRecord | null
}
