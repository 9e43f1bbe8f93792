import type { LineRejectionCode } from '../recordings/sample-series.js'
import type { LineFormat } from './line-format.js'

/** What one line says. */
export interface ParsedLine {
  readonly positionMm: number
  /** The readout's own clock as it stands in the line, not unwrapped, or null without one. */
  readonly ticks: number | null
}

/** A refused line by its code, or `other-axis` for a whole line that speaks of another axis. */
type LineRefusal = LineRejectionCode | 'other-axis'

/** Bytes that no readout sends on purpose inside a line; tab parts columns. */
// biome-ignore lint/suspicious/noControlCharactersInRegex: control bytes are what is looked for; tab is a separator.
export const CONTROL_BYTES = /[\x00-\x08\x0a-\x1f\x7f-\x9f]/
const NOT_FINITE = /(?:nan|inf(?:inity)?|overflow|ovfl?)(?![a-z])/i

/**
 * Reads one line strictly by its format. The whole shape is demanded, since a line cut short may
 * still hold a number: `+1.2` of `+1.23450`.
 *
 * @example
 * parseLine('X+001.500', format) // { positionMm: 38.1, ticks: null } for inches
 */
export function parseLine(text: string, format: LineFormat): ParsedLine | LineRefusal {
  for (const shape of format.shapes) {
    const match = shape.pattern.exec(text)
    const position = match?.[shape.positionGroup]
    const tickText = shape.tickGroup === null ? null : match?.[shape.tickGroup]
    // A profile may ask for columns that the lines don't have.
    if (position === undefined || tickText === undefined) continue
    const number = toNumber(position, format.decimalMark)
    const positionMm = number * shape.mmPerNumber * format.sign
    const ticks = tickText === null ? null : toNumber(tickText, format.decimalMark)
    if (!Number.isFinite(positionMm) || (ticks !== null && !Number.isFinite(ticks))) return 'not-finite'
    return { positionMm, ticks }
  }
  return refusal(text, format)
}

function refusal(text: string, format: LineFormat): LineRefusal {
  if (text.trim() === '') return 'blank'
  if (CONTROL_BYTES.test(text)) return 'control-bytes'
  if (format.otherAxes.some((pattern) => pattern.test(text))) return 'other-axis'
  return NOT_FINITE.test(text) ? 'not-finite' : 'garbled'
}

/** The number of a matched text; blanks may stand between sign and digits. */
function toNumber(text: string, decimalMark: '.' | ','): number {
  const plain = Number(text)
  if (!Number.isNaN(plain)) return plain
  return Number(text.replace(/\s+/g, '').replace(decimalMark, '.'))
}
