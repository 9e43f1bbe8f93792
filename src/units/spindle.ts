import { UsageError } from '../errors/index.js'
import { parseRange } from './dial.js'
import { listParts, parseNumber } from './number.js'

/** A speed that a spindle has, rpm; or the lowest and the highest of a range in which any speed can be set. */
export type SpindleSpeed = number | readonly [lowest: number, highest: number]

/**
 * The spindle speeds of a machine, separated by commas; a variable drive is written as a range, and one with a low and a
 * high gear as two.
 *
 * @throws UsageError `bad-number`, `bad-range`
 * @example parseSpindleSpeeds('60..500, 500..4200', '--spindle') // [[60, 500], [500, 4200]]
 */
export function parseSpindleSpeeds(text: string, what: string): SpindleSpeed[] {
  return listParts(text, what).map((part) => {
    if (!/\.\.|…/.test(part)) return parseNumber(part, what)
    const { min, max } = parseRange(part, what)
    if (min < max) return [min, max]
    throw new UsageError(
      'bad-range',
      `${what}: "${part}" does not go from a lower speed to a higher one.`,
      'Write the lowest speed first: 60..4200.',
    )
  })
}

/** Spindle speeds as they are printed. @example formatSpindleSpeeds([90, [150, 2600]]) // '90, 150..2600' */
export function formatSpindleSpeeds(speeds: readonly SpindleSpeed[]): string {
  return speeds.map((speed) => (typeof speed === 'number' ? String(speed) : speed.join('..'))).join(', ')
}
