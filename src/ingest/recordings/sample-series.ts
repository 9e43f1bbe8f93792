/**
 * Samples of one axis in the order they came, as columns (a million samples must stay cheap).
 * All columns have the same length.
 */
export interface SampleSeries {
  /** Host arrival time in s, any origin; where several lines came in one chunk, already spread over it. */
  readonly timeS: Float64Array
  /** Position in mm. */
  readonly positionMm: Float64Array
  /** The readout's own clock, unwrapped, in s of that clock (its rate may be off), or null without a sound one. */
  readonly deviceTimeS: Float64Array | null
  /** Characters of each line, for the time that it took on the wire; left out where all are alike, or no lines came over one. */
  readonly lineBytes?: Float64Array | undefined
}

/** Why a line gave no sample. */
export type LineRejectionCode =
  | 'blank'
  | 'partial'
  | 'overlong'
  | 'control-bytes'
  | 'garbled'
  | 'not-finite'
  | 'time-backward'
  | 'unasked'

/** A line that gave no sample, and when it came. */
export interface RejectedLine {
  readonly timeS: number
  readonly code: LineRejectionCode
}

/** What the lines of one recording or one live capture came to. */
export interface IngestedSamples {
  readonly samples: SampleSeries
  /** Lines that came, whether they gave a sample or not. */
  readonly linesRead: number
  readonly rejected: readonly RejectedLine[]
  /** Smallest step the readout shows, mm. */
  readonly positionStepMm: number
  /** Mean number of lines that came in one arrival; left out where it is not known. */
  readonly linesPerArrival?: number
  /** Whether the lines carry their unit. */
  readonly unitInLines: boolean
  /** Baud rate of the wire, or null where it is not known. */
  readonly baudRate: number | null
  /** What is amiss with the readout itself, for every run of it. */
  readonly warnings: readonly { readonly code: string; readonly message: string }[]
  /** What was concluded about the format, one plain sentence each, for the user to check. */
  readonly conclusions: readonly string[]
}
