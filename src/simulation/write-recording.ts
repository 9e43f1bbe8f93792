import type { StampedLine } from '../ingest/index.js'
import { fromMm, type LengthUnit } from '../units/index.js'
import type { ArrivedChunk } from './serial-link.js'
import type { SentLine } from './simulated-readout.js'

/**
 * Lines with the arrival time of the chunk that completed each. Cut here and not by the program's own line
 * assembler, so that a recording can be held against what the assembler makes of the same chunks.
 */
export function* stampedLines(chunks: Iterable<ArrivedChunk>): Generator<StampedLine> {
  let tail = ''
  let lastS = 0
  for (const { bytes, arrivalS } of chunks) {
    const parts = (tail + bytes.toString('latin1')).split(/\r\n|\n|\r(?!$)/)
    tail = parts.pop() ?? ''
    for (const text of parts) yield { timeS: arrivalS, text }
    lastS = arrivalS
  }
  // A return at the very end may have been the whole terminator; anything else is a line cut short.
  if (tail.endsWith('\r')) yield { timeS: lastS, text: tail.slice(0, -1) }
}

/** A recorded readout as text, one `{"t":…,"line":"…"}` a line; times to the microsecond. */
export function jsonlRecording(chunks: Iterable<ArrivedChunk>): string {
  let text = ''
  for (const { timeS, text: line } of stampedLines(chunks)) {
    text += `${JSON.stringify({ t: roundToMicrosecond(timeS), line })}\n`
  }
  return text
}

/**
 * A recording as `t,position` rows, as another logger would have written it: the time of reading and the
 * position shown in `unit`, both with six decimals.
 *
 * @param header `position` leaves the unit to the machine
 */
export function csvRecording(
  lines: Iterable<SentLine>,
  unit: LengthUnit,
  header: 'position' | 'position_mm' | 'position_in' = 'position',
): string {
  let text = `t,${header}\n`
  for (const { sampledS, shownMm } of lines) {
    text += `${sampledS.toFixed(6)},${fromMm(shownMm, unit).toFixed(6)}\n`
  }
  return text
}

function roundToMicrosecond(timeS: number): number {
  return Math.round(timeS * 1e6) / 1e6
}
