import { type Said, sentence, UsageError, way } from '../errors/index.js'
import { ANGLES, kindOf, type UnitKind } from './kinds.js'
import { type LengthUnit, toMm } from './length.js'
import { parseNumber, refuseEmpty, VULGAR_FRACTIONS } from './number.js'

/** A number with its unit, as it stands in every JSON document we print. */
export interface Quantity<U extends string = string> {
  readonly value: number
  readonly unit: U
}

export type FeedUnit = 'in/min' | 'mm/min' | 'deg/min'

/** The feed-rate unit of an axis in `unit`. */
export function feedUnit(unit: LengthUnit): FeedUnit {
  return `${unit}/min`
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

/**
 * A length in mm from text such as `6in`, `1' 6"`, `150mm`, `0.15m`, `1/2in`, or an angle in degrees such as `90deg`,
 * `12° 30' 15"`, `0.25rev` where `axisUnit` is degrees; a bare number is in `axisUnit`.
 *
 * @throws UsageError `bad-number`, `bad-unit`
 */
export function parseLengthMm(text: string, axisUnit: LengthUnit, what: string): number {
  const kind = kindOf(axisUnit)
  for (const { pattern, size, smaller } of kind.parts) {
    const [, number, rest] = pattern.exec(text.trim()) ?? []
    if (number === undefined || rest === undefined) continue
    const isBare = !/[a-z'′’"″”°º]/i.test(rest)
    const more = parseLengthMm(isBare ? `${rest}${smaller}` : rest, axisUnit, what)
    return parseNumber(number, what) * size + (/^[-−–]/.test(number) ? -more : more)
  }
  const { number, unit } = splitUnit(text, what, {
    named: (name) => kind.size[name],
    bare: toMm(1, axisUnit),
    taken: kind.taken,
    otherwise: (name) =>
      kind.other().size[name] === undefined ? null : notThisKind(kind, 'length', kind.taken),
  })
  return number * unit
}

/**
 * A feed in mm/min from text such as `7.2in/min`, `180mm/min`, `3mm/s`, `7"/min`, or in deg/min such as `30deg/min`,
 * `0.5rev/min` where `axisUnit` is degrees; a bare number is in `axisUnit` a minute.
 *
 * @throws UsageError `bad-number`, `bad-unit`, and `rpm-missing` for a feed a turn of the spindle
 */
export function parseFeedMmPerMin(text: string, axisUnit: LengthUnit, what: string): number {
  const { number, unit } = splitFeed(text, axisUnit, what, 'minute')
  if (unit.per === 'minute') return number * unit.mm
  throw new UsageError(
    'rpm-missing',
    `${what}: "${text}" is a feed a turn, and the spindle speed is not given.`,
    'Give the spindle speed as well, or the feed a minute.',
  )
}

/**
 * A feed in mm/min at a spindle speed, from text such as `0.005in/rev` or `0.12mm/rev`; a feed a minute is taken as it
 * is, and a bare number is in `axisUnit` a turn.
 *
 * @throws UsageError `bad-number`, `bad-unit`
 */
export function parseFeedAtRpmMmPerMin(
  text: string,
  axisUnit: LengthUnit,
  rpm: number,
  what: string,
): number {
  const { number, unit } = splitFeed(text, axisUnit, what, 'turn')
  return number * unit.mm * (unit.per === 'turn' ? rpm : 1)
}

/** What one kind of quantity is read with. */
interface UnitsTaken<T> {
  /** What a unit's name means, in small letters and plain spelling; undefined where it names no unit of this kind. */
  readonly named: (name: string) => T | undefined
  /** What a number without a unit means. */
  readonly bare: T
  /** A sentence that lists what is understood. */
  readonly taken: string
  /** What is said of a unit of another kind, such as "is an angle", and what to do; null for names that mean nothing. */
  readonly otherwise?: (name: string) => readonly [told: string, hint: Said] | null
}

/** A number, a fraction or a mixed number, up to the first character of its unit. */
const NUMBER_AND_UNIT = new RegExp(`^([-+−–\\d.,/\\s${VULGAR_FRACTIONS}]*(?:(?<=\\d)e[+-]?\\d+)?)(.*)$`, 'i')

/** Parts a number from its unit. @throws UsageError `bad-number`, `bad-unit` */
export function splitUnit<T>(
  text: string,
  what: string,
  { named, bare, taken, otherwise }: UnitsTaken<T>,
): { number: number; unit: T } {
  refuseEmpty(text, what, taken)
  if (!new RegExp(`[\\d${VULGAR_FRACTIONS}]`).test(text)) {
    throw new UsageError('bad-number', `${what}: "${text}" holds no number.`, taken)
  }
  const [, number = text, written = ''] = NUMBER_AND_UNIT.exec(text.trim()) ?? []
  const name = unitName(written)
  const unit = name === '' ? bare : named(name)
  if (unit !== undefined) return { number: parseNumber(number, what), unit }
  const [told, hint] = otherwise?.(name) ?? [null, taken]
  throw new UsageError(
    'bad-unit',
    told === null ? `${what}: the unit of "${text}" does not fit here.` : `${what}: "${text}" ${told}.`,
    hint,
  )
}

/** How a unit is looked up: small letters, one kind of quotation mark, `per` as a stroke, no full stops. */
function unitName(written: string): string {
  return written
    .trim()
    .toLowerCase()
    .replace(/[″”“]|''/g, '"')
    .replace(/[′’]/g, "'")
    .replace(/[µμ]/g, 'u')
    .replace(/º/g, '°')
    .replace(/\./g, '')
    .replace(/\s+(?:per|a|an)\s+|\s*\/\s*/g, '/')
}

/** A unit of feed: so many mm a minute, or a turn of the spindle. */
interface ReadFeedUnit {
  readonly mm: number
  readonly per: 'minute' | 'turn'
}

function splitFeed(text: string, axisUnit: LengthUnit, what: string, per: ReadFeedUnit['per']) {
  const kind = kindOf(axisUnit)
  const taken = per === 'turn' ? `${kind.feedsTaken} ${kind.feedsPerTurnTaken}` : kind.feedsTaken
  return splitUnit<ReadFeedUnit>(text, what, {
    named: (name) => readFeedUnit(name, kind),
    bare: { mm: toMm(1, axisUnit), per },
    taken,
    otherwise: (name) =>
      readFeedUnit(name, kind.other()) === undefined ? null : notThisKind(kind, 'feed', taken),
  })
}

function readFeedUnit(name: string, kind: UnitKind): ReadFeedUnit | undefined {
  const [length = '', time = '', ...more] = (kind.shortFeeds[name] ?? name).split('/')
  const mm = kind.size[length]
  if (mm === undefined || more.length > 0) return undefined
  if (TURN.includes(time)) return { mm, per: 'turn' }
  const perMinute = PER_MINUTE[time]
  return perMinute === undefined ? undefined : { mm: mm * perMinute, per: 'minute' }
}

function notThisKind(
  wanted: UnitKind,
  of: 'length' | 'feed',
  taken: string,
): readonly [told: string, hint: Said] {
  if (wanted === ANGLES) {
    const told =
      of === 'feed'
        ? 'is a feed along a straight axis, and this one turns'
        : 'is a length, and here an angle is needed, because this axis turns'
    return [told, taken]
  }
  return [
    of === 'feed'
      ? 'is a feed of an axis that turns, and this one does not'
      : 'is an angle, and here a length is needed',
    sentence`${taken} For a rotary table add an axis that turns${way('rotary-axis')}.`,
  ]
}
