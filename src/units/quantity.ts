import { UsageError } from '../errors/index.js'
import { type LengthUnit, MM_PER_INCH, toMm } from './length.js'
import { parseNumber, VULGAR_FRACTIONS } from './number.js'

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

/** Millimetres in each unit of length (exact by definition). */
const MM_PER: Readonly<Record<string, number>> = {
  in: MM_PER_INCH,
  inch: MM_PER_INCH,
  inches: MM_PER_INCH,
  '"': MM_PER_INCH,
  thou: MM_PER_INCH / 1000,
  ft: 12 * MM_PER_INCH,
  foot: 12 * MM_PER_INCH,
  feet: 12 * MM_PER_INCH,
  "'": 12 * MM_PER_INCH,
  um: 0.001,
  mm: 1,
  cm: 10,
  m: 1000,
}
/** Seconds or minutes to a minute in each unit of time of a feed (exact by definition). */
const PER_MINUTE: Readonly<Record<string, number>> = {
  min: 1,
  minute: 1,
  s: 60,
  sec: 60,
  second: 60,
}
const TURN: readonly string[] = ['rev', 'r', 'turn', 'revolution']
/** Feeds that have a short name. */
const SHORT_FEEDS: Readonly<Record<string, string>> = {
  ipm: 'in/min',
  ips: 'in/s',
  fpm: 'ft/min',
  ipr: 'in/rev',
}

const LENGTHS_TAKEN = 'Lengths are read as 6in, 6", 1\' 6", 20thou, 150mm, 15cm or 0.15m.'
const FEEDS_TAKEN =
  'Feeds are read in in/min, ft/min, in/s, mm/min, cm/min, m/min and mm/s, such as 7.2in/min or 180mm/min.'
const FEEDS_PER_TURN_TAKEN =
  'With a spindle speed feeds are also read in in/rev and mm/rev, such as 0.005in/rev or 0.12mm/rev.'

/**
 * A length in mm from text such as `6in`, `1' 6"`, `150mm`, `0.15m`, `1/2in`; a bare number is in `machineUnit`.
 *
 * @throws UsageError `bad-number`, `bad-unit`
 */
export function parseLengthMm(text: string, machineUnit: LengthUnit, what: string): number {
  const feet = /^([^a-z'′’]+?)\s*(?:ft\.?|foot|feet|['′’])\s*-?\s*(\d.*)$/i.exec(text.trim())
  if (feet !== null) {
    const inches = parseLengthMm(/\d$/.test(feet[2]!) ? `${feet[2]}in` : feet[2]!, 'in', what)
    return parseNumber(feet[1]!, what) * 12 * MM_PER_INCH + inches
  }
  const { number, unit } = splitUnit(text, what, {
    named: (name) => MM_PER[name],
    bare: toMm(1, machineUnit),
    taken: LENGTHS_TAKEN,
  })
  return number * unit
}

/**
 * A feed in mm/min from text such as `7.2in/min`, `180mm/min`, `3mm/s`, `7"/min`; a bare number is in `machineUnit` a
 * minute.
 *
 * @throws UsageError `bad-number`, `bad-unit`, and `rpm-missing` for a feed a turn
 */
export function parseFeedMmPerMin(text: string, machineUnit: LengthUnit, what: string): number {
  const { number, unit } = splitUnit(text, what, {
    named: readFeedUnit,
    bare: { mm: toMm(1, machineUnit), per: 'minute' },
    taken: FEEDS_TAKEN,
  })
  if (unit.per === 'minute') return number * unit.mm
  throw new UsageError(
    'rpm-missing',
    `${what}: "${text}" is a feed a turn, and the spindle speed is not given.`,
    'Give the spindle speed as well, or the feed a minute.',
  )
}

/**
 * A feed in mm/min at a spindle speed, from text such as `0.005in/rev` or `0.12mm/rev`; a feed a minute is taken as it
 * is, and a bare number is in `machineUnit` a turn.
 *
 * @throws UsageError `bad-number`, `bad-unit`
 */
export function parseFeedAtRpmMmPerMin(
  text: string,
  machineUnit: LengthUnit,
  rpm: number,
  what: string,
): number {
  const { number, unit } = splitUnit(text, what, {
    named: readFeedUnit,
    bare: { mm: toMm(1, machineUnit), per: 'turn' },
    taken: `${FEEDS_TAKEN} ${FEEDS_PER_TURN_TAKEN}`,
  })
  return number * unit.mm * (unit.per === 'turn' ? rpm : 1)
}

/** What one kind of quantity is read with. */
export interface UnitsTaken<T> {
  /** What a unit's name means, in small letters and plain spelling; undefined where it names no unit of this kind. */
  readonly named: (name: string) => T | undefined
  /** What a number without a unit means. */
  readonly bare: T
  /** A sentence that lists what is understood. */
  readonly taken: string
}

/** A number, a fraction or a mixed number, up to the first character of its unit. */
const NUMBER_AND_UNIT = new RegExp(`^([-+−–\\d.,/\\s${VULGAR_FRACTIONS}]*(?:(?<=\\d)e[+-]?\\d+)?)(.*)$`, 'i')

/** Parts a number from its unit. @throws UsageError `bad-number`, `bad-unit` */
export function splitUnit<T>(
  text: string,
  what: string,
  { named, bare, taken }: UnitsTaken<T>,
): { number: number; unit: T } {
  if (!new RegExp(`[\\d${VULGAR_FRACTIONS}]`).test(text)) {
    throw new UsageError('bad-number', `${what}: "${text}" holds no number.`, taken)
  }
  const [, number = text, written = ''] = NUMBER_AND_UNIT.exec(text.trim()) ?? []
  const name = unitName(written)
  const unit = name === '' ? bare : named(name)
  if (unit !== undefined) return { number: parseNumber(number, what), unit }
  if (/^(?:°|deg)/.test(name)) {
    throw new UsageError(
      'bad-unit',
      `${what}: "${text}" is an angle, and tablepace measures lengths.`,
      'For a rotary table add a machine of its own in mm, and read every mm as a degree.',
    )
  }
  throw new UsageError('bad-unit', `${what}: the unit of "${text}" does not fit here.`, taken)
}

/** How a unit is looked up: small letters, one kind of quotation mark, `per` as a stroke, no full stops. */
function unitName(written: string): string {
  return written
    .trim()
    .toLowerCase()
    .replace(/[″”“]|''/g, '"')
    .replace(/[′’]/g, "'")
    .replace(/[µμ]/g, 'u')
    .replace(/\./g, '')
    .replace(/\s+(?:per|a|an)\s+|\s*\/\s*/g, '/')
}

/** A unit of feed: so many mm a minute, or a turn of the spindle. */
interface ReadFeedUnit {
  readonly mm: number
  readonly per: 'minute' | 'turn'
}

function readFeedUnit(name: string): ReadFeedUnit | undefined {
  const [length = '', time = '', ...more] = (SHORT_FEEDS[name] ?? name).split('/')
  const mm = MM_PER[length]
  if (mm === undefined || more.length > 0) return undefined
  if (TURN.includes(time)) return { mm, per: 'turn' }
  const perMinute = PER_MINUTE[time]
  return perMinute === undefined ? undefined : { mm: mm * perMinute, per: 'minute' }
}
