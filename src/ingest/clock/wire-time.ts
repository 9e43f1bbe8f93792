/**
 * What a byte takes on the wire. A line arrives when its last byte is through, so a line that grows by a character,
 * as where 9.99 turns into 10.00, arrives so much later after its reading.
 */
export interface WireTime {
  readonly secondsPerByte: number
  readonly standardUncertainty: number
}

/** What the lines of a recording tell about the time of a byte by themselves. */
export interface WireEvidence extends WireTime {
  /** What one second a byte does to the rate of the readout's clock, relative: by how much lines grew a second. */
  readonly bytesPerS: number
}

/** Bits of a byte on the wire: start bit, 8 data bits and stop bit (by definition of 8N1). */
const BITS_PER_BYTE = 10
/**
 * With nothing known: from none at all (a readout that is a USB device itself, whatever speed is set) to 1.04 ms, that
 * of 9600 baud, below which few readouts go (common practice, no source).
 */
const UNKNOWN: WireTime = { secondsPerByte: 0.0005, standardUncertainty: 0.0004 }
/**
 * Standard uncertainties of the difference beyond which evidence shows that the time of a byte was wrongly
 * foreseen. Judgement: by chance once in 16,000; a wrong rate is off by a factor of two.
 */
const CONTRADICTS = 4

/** What is to be expected of a line: its baud rate may be told but not be real, as with a USB device. */
export function expectedWireTime(baudRate?: number): WireTime {
  if (baudRate === undefined) return UNKNOWN
  const half = BITS_PER_BYTE / baudRate / 2
  return { secondsPerByte: half, standardUncertainty: half }
}

/** What was expected and what the lines tell, weighed by the inverse of their variances. */
export function weighWireTime(expected: WireTime, evidence: readonly WireTime[]): WireTime {
  // Without any scatter lines were made up, and their lengths with them.
  const told = evidence.filter(({ standardUncertainty: u }) => Number.isFinite(u) && u > 0)
  if (told.length === 0) return expected
  const seen = weightedMean(told.map((one) => [one.secondsPerByte, one.standardUncertainty]))
  const own = { secondsPerByte: seen.mean, standardUncertainty: seen.standardUncertainty }
  const apart = Math.abs(own.secondsPerByte - expected.secondsPerByte)
  if (apart > CONTRADICTS * Math.hypot(own.standardUncertainty, expected.standardUncertainty)) return own
  const weight = own.standardUncertainty ** -2 + expected.standardUncertainty ** -2
  const pull = expected.standardUncertainty ** -2 / weight
  return {
    secondsPerByte: own.secondsPerByte + pull * (expected.secondsPerByte - own.secondsPerByte),
    standardUncertainty: 1 / Math.sqrt(weight),
  }
}

/**
 * The mean of values weighed by the inverse of their variances. Where they scatter more than their uncertainties
 * allow, its uncertainty is widened by the ratio of Birge (Physical Review 40, 1932).
 *
 * @param values each with its standard uncertainty, above 0; at least one
 */
export function weightedMean(values: readonly (readonly [value: number, u: number])[]): {
  mean: number
  standardUncertainty: number
  /** Of each value, summing to 1. */
  weights: number[]
} {
  const inverse = values.map(([, u]) => 1 / u ** 2)
  const sum = inverse.reduce((total, one) => total + one, 0)
  const weights = inverse.map((one) => one / sum)
  // Differences from the first value keep all digits of a mean of numbers that all are near each other.
  const base = values[0]![0]
  const mean = base + values.reduce((total, [value], i) => total + weights[i]! * (value - base), 0)
  const chiSquared = values.reduce((total, [value], i) => total + inverse[i]! * (value - mean) ** 2, 0)
  const birge = values.length > 1 ? Math.sqrt(chiSquared / (values.length - 1)) : 1
  return { mean, standardUncertainty: Math.max(1, birge) / Math.sqrt(sum), weights }
}
