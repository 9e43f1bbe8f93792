import { UsageError } from '../errors/index.js'
import { parseNumber } from './number.js'
import { splitUnit } from './quantity.js'

/** A time as it was written, and how finely. */
export interface WrittenTime {
  readonly timeS: number
  /** What one unit of its last digit is worth, s: 0.1 for `28.4s`, 0.01 for `1:02.30`. */
  readonly lastDigitS: number
}

/** Seconds in each unit (exact by definition). */
const SECONDS_PER: Readonly<Record<string, number>> = { s: 1, sec: 1, ms: 0.001, min: 60 }

/** As watches and phones show times: minutes and seconds, or hours, minutes and seconds. Some show a decimal comma. */
const CLOCK = /^(?:(\d+):)?(\d+):(\d{1,2})(?:[.,](\d*))?\s*s?$/

/**
 * A time in s from text such as `28.4`, `28.4s`, `1.5min`, `0:28.4`, `1:02.30` or `1:01:02.5`; a bare number is in
 * seconds.
 *
 * @param what names the value in the error, for example `--time`
 * @throws UsageError `bad-number`, `bad-unit`
 * @example parseTime('1:02.30', '--time') // { timeS: 62.3, lastDigitS: 0.01 }
 */
export function parseTime(text: string, what: string): WrittenTime {
  if (text.includes(':')) return clockTime(text, what)
  const { number, unit } = splitUnit(text, what, {
    named: (name) => SECONDS_PER[name],
    bare: 1,
    taken: 'Times are read as 28.4s, 0:28.4, 1:02.30 or 1.5min.',
  })
  const decimals = /[.,](\d+)/.exec(text)?.[1]?.length ?? 0
  return { timeS: number * unit, lastDigitS: unit * 10 ** -decimals }
}

/** The same in s alone. */
export function parseDurationS(text: string, what: string): number {
  return parseTime(text, what).timeS
}

function clockTime(text: string, what: string): WrittenTime {
  const match = CLOCK.exec(text.trim())
  const [hours, minutes, seconds, decimals] = [match?.[1], match?.[2], match?.[3], match?.[4] ?? '']
  // Beyond the first part a clock counts to 59: 1:75 is a slip of the pen or another notation.
  const sound = seconds !== undefined && Number(seconds) < 60 && (hours === undefined || Number(minutes) < 60)
  if (!sound) {
    throw new UsageError(
      'bad-number',
      `${what}: "${text}" is not a time.`,
      'Write minutes, a colon and seconds, such as 0:28.4 or 1:02.30.',
    )
  }
  const whole = 3600 * Number(hours ?? 0) + 60 * Number(minutes)
  const timeS = whole + parseNumber(`${seconds}.${decimals}`, what)
  return { timeS, lastDigitS: 10 ** -decimals.length }
}
