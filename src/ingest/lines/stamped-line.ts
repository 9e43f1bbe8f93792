/** One line of a readout as it came, with the arrival time of the bytes that completed it. */
export interface StampedLine {
  /** Host arrival time in s on a monotonic clock, any origin. */
  readonly timeS: number
  /** The raw text without its terminator, decoded as latin1 so that every byte survives. */
  readonly text: string
  /** Of a readout that is asked: `timeS` is the middle of request and answer, and the reading lies within so much of it, s. */
  readonly withinS?: number | undefined
}
