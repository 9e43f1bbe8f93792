import { UsageError } from '../errors/index.js'
import { type LengthUnit, toMm } from './length.js'

/** A number with its unit, as it stands in every JSON document we print. */
export interface Quantity<U extends string = string> {
  readonly value: number
  readonly unit: U
}

export type FeedUnit = 'in/min' | 'mm/min'

/** The feed-rate unit of a machine built in `unit`. */
export function feedUnit(unit: LengthUnit): FeedUnit {
  return unit === 'in' ? 'in/min' : 'mm/min'
}

const NUMBER = /^[+-]?(?:\d+(?:\.\d*)?|\.\d+)(?:e[+-]?\d+)?$/i
const UNIT_TAIL = /^(.*?)\s*([a-z"'][a-z"'/]*)?$/i
const VULGAR: Readonly<Record<string, string>> = {
  '½': '1/2',
  '¼': '1/4',
  '¾': '3/4',
  '⅛': '1/8',
  '⅜': '3/8',
  '⅝': '5/8',
  '⅞': '7/8',
}

const LENGTH_UNITS: Readonly<Record<string, LengthUnit>> = {
  in: 'in',
  inch: 'in',
  inches: 'in',
  '"': 'in',
  mm: 'mm',
}
const FEED_UNITS: Readonly<Record<string, LengthUnit>> = {
  'in/min': 'in',
  ipm: 'in',
  'mm/min': 'mm',
}

/**
 * Reads a plain number strictly: decimals with a point, fractions (`3 1/2`, `3½`, `1/4`),
 * exponents. Refuses everything else, so that no unit or comma is ever silently dropped.
 *
 * @param what names the value in the error, for example `--distance`
 * @throws UsageError `bad-number`
 */
export function parseNumber(text: string, what: string): number {
  const value = readNumber(text)
  if (value === null) {
    const hint = /\d,\d/.test(text)
      ? `Write the decimal mark as a point: ${text.replace(',', '.')}.`
      : 'Write it as 3, 3.5, 3 1/2 or 3½.'
    throw new UsageError('bad-number', `${what}: "${text}" is not a number.`, hint)
  }
  if (value !== 0 && !(Math.abs(value) <= MOST && Math.abs(value) >= LEAST)) {
    throw new UsageError(
      'bad-number',
      `${what}: "${text}" is ${Math.abs(value) > MOST ? 'larger' : 'smaller'} than anything on a machine.`,
      'Check its digits and its exponent.',
    )
  }
  return value
}

/**
 * Numbers one after the other, such as the marks of a dial or spindle speeds, with semicolons, commas or, where there
 * is neither, blanks between them.
 *
 * @example parseNumberList('1, 2, 3 1/2', 'Marks') // [1, 2, 3.5]
 * @throws UsageError `bad-number`
 */
export function parseNumberList(text: string, what: string): number[] {
  const separator = text.includes(';') ? ';' : text.includes(',') ? ',' : /\s+/
  return text
    .trim()
    .split(separator)
    .map((part) => parseNumber(part, what))
}

/** A length in mm from text such as `6in`, `150mm`, `1/2in`; a bare number is in `machineUnit`. */
export function parseLengthMm(text: string, machineUnit: LengthUnit, what: string): number {
  const { number, unit } = splitUnit(text, what, LENGTH_UNITS, machineUnit, '6in or 150mm')
  return toMm(number, unit)
}

/** A feed in mm/min from text such as `7.2in/min`, `180mm/min`; a bare number is in `machineUnit` a minute. */
export function parseFeedMmPerMin(text: string, machineUnit: LengthUnit, what: string): number {
  const { number, unit } = splitUnit(text, what, FEED_UNITS, machineUnit, '7.2in/min or 180mm/min')
  return toMm(number, unit)
}

const FEED_PER_TURN_UNITS: Readonly<
  Record<string, { readonly unit: LengthUnit; readonly per: 'turn' | 'minute' }>
> = {
  'in/rev': { unit: 'in', per: 'turn' },
  ipr: { unit: 'in', per: 'turn' },
  'mm/rev': { unit: 'mm', per: 'turn' },
  'in/min': { unit: 'in', per: 'minute' },
  ipm: { unit: 'in', per: 'minute' },
  'mm/min': { unit: 'mm', per: 'minute' },
}

/**
 * A feed in mm/min at a spindle speed, from text such as `0.005in/rev` or `0.12mm/rev`; a feed a minute is taken as it
 * is, and a bare number is in `machineUnit` a turn.
 */
export function parseFeedAtRpmMmPerMin(
  text: string,
  machineUnit: LengthUnit,
  rpm: number,
  what: string,
): number {
  const bare = { unit: machineUnit, per: 'turn' as const }
  const { number, unit } = splitUnit(text, what, FEED_PER_TURN_UNITS, bare, '0.005in/rev or 0.12mm/rev')
  return toMm(number, unit.unit) * (unit.per === 'turn' ? rpm : 1)
}

/** Parts a number from its unit. @throws UsageError `bad-number`, `bad-unit` */
export function splitUnit<T>(
  text: string,
  what: string,
  units: Readonly<Record<string, T>>,
  bare: T,
  example: string,
): { number: number; unit: T } {
  const match = UNIT_TAIL.exec(text.trim())
  if (!/\d|[½¼¾⅛⅜⅝⅞]/.test(text)) {
    throw new UsageError('bad-number', `${what}: "${text}" holds no number.`, `Write it like ${example}.`)
  }
  const unitText = match?.[2]
  const unit = unitText === undefined ? bare : units[unitText.toLowerCase()]
  if (unit === undefined) {
    throw new UsageError(
      'bad-unit',
      `${what}: "${text}" has a unit that does not fit here.`,
      `Write it like ${example}.`,
    )
  }
  return { number: parseNumber(match?.[1] ?? text, what), unit }
}

/**
 * Largest and smallest size of a number that is taken, whatever its unit: beyond them no clock, machine or count goes
 * (microseconds since 1970 are 2e15), and sums of squares stay far from where arithmetic ends.
 */
const MOST = 1e16
const LEAST = 1e-12

function readNumber(text: string): number | null {
  let plain = text.trim()
  for (const [glyph, fraction] of Object.entries(VULGAR)) plain = plain.replace(glyph, ` ${fraction}`)
  plain = plain.trim()
  const mixed = /^(?:(\d+)\s+)?(\d+)\/(\d+)$/.exec(plain)
  const value = mixed
    ? Number(mixed[1] ?? 0) + Number(mixed[2]) / Number(mixed[3])
    : NUMBER.test(plain)
      ? Number(plain)
      : Number.NaN
  return Number.isFinite(value) ? value : null
}
