import { SIXTEEN_BITS, THIRTY_TWO_BITS } from './tick-unwrapper.js'

/** What the numbers of one column do over time. */
export type ColumnBehaviour = 'clock' | 'counter' | 'other'

/**
 * Share by which a readout's own clock may be off. Judgement: a cheap resonator is off by a percent or so; a table
 * hardly ever moves at just this pace.
 */
const RATE_TOLERANCE = 0.1
/**
 * Arrival scatter of the lines that the pace is judged by, s. Judgement: three adapter timers of 16 ms and a
 * scheduler's slice.
 */
const ARRIVAL_SCATTER_S = 0.06
/**
 * Time, s, below which the arrival scatter hides the pace. Derived: 0.06 s of 0.4 s is 15 %, about
 * `RATE_TOLERANCE`.
 */
const SHORTEST_LAG_S = 0.4
/**
 * Share of the time that a clock which stops must have run to be known as one. Judgement: less is a number that
 * changed a few times.
 */
const RUNNING_SHARE = 0.2
/**
 * Longest time, s, over which a clock that wraps is compared. Derived: a 16-bit clock in ms goes round in 65.5 s;
 * half of that is unambiguous.
 */
const LONGEST_LAG_S = 30
/**
 * The same as `RATE_TOLERANCE` for a clock in s, whose pace a table may move at. Judgement: ten times stricter.
 */
const SECONDS_TOLERANCE = 0.01
/**
 * Fewest ticks of a clock. Judgement: four steps that all go up by chance are one in sixteen, and the pace must
 * agree besides.
 */
const FEWEST_TICKS = 5
/** Share of the values that must be ticks. Judgement: one line in twenty may be damaged. */
const SOUND_SHARE = 0.95

/** Units of a readout's own clock. */
export type ClockUnit = 'ms' | 'us' | 's'

/** Seconds of a tick in each unit (by definition). */
export const SECONDS_PER_TICK: Readonly<Record<ClockUnit, number>> = { ms: 1e-3, us: 1e-6, s: 1 }

/**
 * Tells whether numbers tell the time (`clockUnit`), count the lines, or do something else.
 *
 * @param values NaN for what is no whole number
 */
export function columnBehaviour(values: readonly number[], timeS: readonly number[]): ColumnBehaviour {
  if (clockUnit(values, timeS) !== null) return 'clock'
  const ticks = values.filter(isTick)
  return ticks.length >= FEWEST_TICKS && ticks.length >= SOUND_SHARE * values.length && isCounter(ticks)
    ? 'counter'
    : 'other'
}

/**
 * Tells whether numbers run like a clock, and in which unit: whole ones in ms (16 or 32 bit, wrapping) or in µs
 * (32 bit), others in s. Judged by pairs of lines some time apart, nine in ten of which must agree, so that damaged
 * lines do not hide a clock. A table may well move by 1 mm/s, so a clock in s has to keep its pace over half of the
 * lines.
 *
 * @param mayStand a clock in ms may stand still for most of the time, as one that has stopped: only where the column
 *   cannot be a position at rest
 */
export function clockUnit(
  values: readonly number[],
  timeS: readonly number[],
  mayStand = false,
): ClockUnit | null {
  const kept = values.flatMap((value, i) => (value >= 0 && value < THIRTY_TWO_BITS ? [i] : []))
  if (kept.length < FEWEST_TICKS || kept.length < SOUND_SHARE * values.length) return null
  const column = { values: kept.map((i) => values[i]!), timeS: kept.map((i) => timeS[i]!) }
  const whole = column.values.filter(Number.isInteger).length
  if (whole < SOUND_SHARE * kept.length) {
    return runsAt(column, { pace: 1, modulus: null, tolerance: SECONDS_TOLERANCE }) ? 's' : null
  }
  const modulus = clockBits(column.values) === 32 ? THIRTY_TWO_BITS : SIXTEEN_BITS
  if (runsAt(column, { pace: 1e3, modulus, tolerance: RATE_TOLERANCE, mayStand })) return 'ms'
  return runsAt(column, { pace: 1e6, modulus: THIRTY_TWO_BITS, tolerance: RATE_TOLERANCE }) ? 'us' : null
}

function isTick(value: number): boolean {
  return Number.isInteger(value) && value >= 0 && value < THIRTY_TWO_BITS
}

/** Width of a millisecond clock as far as its numbers tell: 16 bit once it wrapped, 32 above 65535. */
export function clockBits(values: readonly number[]): 16 | 32 | 'unsure' {
  if (values.filter((value) => value >= SIXTEEN_BITS).length > values.length / 20) return 32
  const wraps = values.some((value, i) => i > 0 && values[i - 1]! - value > SIXTEEN_BITS / 2)
  return wraps ? 16 : 'unsure'
}

function isCounter(values: readonly number[]): boolean {
  let ones = 0
  for (let i = 1; i < values.length; i += 1) if (values[i]! - values[i - 1]! === 1) ones += 1
  return ones >= 0.9 * (values.length - 1)
}

interface Pace {
  /** Ticks a second. */
  readonly pace: number
  /** Ticks after which it starts again from 0; null for one that never does. */
  readonly modulus: number | null
  readonly tolerance: number
  readonly mayStand?: boolean
}

function runsAt(
  { values, timeS }: { readonly values: readonly number[]; readonly timeS: readonly number[] },
  { pace, modulus, tolerance, mayStand = false }: Pace,
): boolean {
  const scatterS = ARRIVAL_SCATTER_S + usualGapS(timeS)
  const spanS = timeS.at(-1)! - timeS[0]!
  const lagS = modulus === null ? spanS / 2 : Math.min(Math.max(1, 5 * scatterS), spanS / 2)
  if (lagS < SHORTEST_LAG_S) return false
  let looked = 0
  let pairs = 0
  let agreeing = 0
  for (let i = 0, j = 0; i < values.length; i += 1) {
    while (j < values.length && timeS[j]! - timeS[i]! < lagS) j += 1
    if (j === values.length) break
    const hostS = timeS[j]! - timeS[i]!
    looked += 1
    if (modulus !== null && hostS > LONGEST_LAG_S) continue
    if (mayStand && values[j] === values[j - 1]) continue
    const ticks = values[j]! - values[i]!
    const tickS = (modulus === null ? ticks : ((ticks % modulus) + modulus) % modulus) / pace
    pairs += 1
    if (Math.abs(tickS - hostS) <= tolerance * hostS + scatterS) agreeing += 1
  }
  return pairs >= 3 && agreeing >= 0.9 * pairs && pairs >= RUNNING_SHARE * looked
}

/** Time between arrivals that one in twenty exceeds: lines that were held back together share a stamp. */
function usualGapS(timeS: readonly number[]): number {
  const gaps = timeS.flatMap((time, i) => (i > 0 && time > timeS[i - 1]! ? [time - timeS[i - 1]!] : []))
  gaps.sort((a, b) => a - b)
  return gaps[Math.floor(0.95 * gaps.length)] ?? 0
}
