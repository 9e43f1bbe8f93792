/** What the numbers of one column do over time. */
export type ColumnBehaviour = 'clock' | 'counter' | 'other'

/** A readout's own clock may be off by a few percent at most; a table hardly ever moves at just this pace. */
const RATE_TOLERANCE = 0.1
/** Arrival scatter of the lines that the pace is judged by, s. */
const ARRIVAL_SCATTER_S = 0.06
/** Over less time the arrival scatter hides the pace, s. */
const SHORTEST_LAG_S = 0.4
/** A clock that stops must have run for this share of the time to be known as one. */
const RUNNING_SHARE = 0.2
const SIXTEEN_BITS = 2 ** 16
const THIRTY_TWO_BITS = 2 ** 32

/**
 * Tells whether whole numbers count milliseconds (16 or 32 bit, wrapping), count the lines, or do
 * something else. Judged by pairs of lines some time apart, nine in ten of which must agree, so
 * that damaged lines do not hide a clock.
 *
 * @param mayStand a clock may stand still for most of the time, as one that has stopped: only where the column cannot
 *   be a position at rest
 */
export function columnBehaviour(
  values: readonly number[],
  timeS: readonly number[],
  mayStand = false,
): ColumnBehaviour {
  const sound = values.flatMap((value, i) => (isTick(value) ? [i] : []))
  if (sound.length < 5 || sound.length < 0.95 * values.length) return 'other'
  const ticks = sound.map((i) => values[i]!)
  const times = sound.map((i) => timeS[i]!)
  if (isMillisecondClock(ticks, times, mayStand)) return 'clock'
  return isCounter(ticks) ? 'counter' : 'other'
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

function isMillisecondClock(values: readonly number[], timeS: readonly number[], mayStand: boolean): boolean {
  const modulus = clockBits(values) === 32 ? THIRTY_TWO_BITS : SIXTEEN_BITS
  const scatterS = ARRIVAL_SCATTER_S + usualGapS(timeS)
  const spanS = timeS.at(-1)! - timeS[0]!
  const lagS = Math.min(Math.max(1, 5 * scatterS), spanS / 2)
  if (lagS < SHORTEST_LAG_S) return false
  let looked = 0
  let pairs = 0
  let agreeing = 0
  for (let i = 0, j = 0; i < values.length; i += 1) {
    while (j < values.length && timeS[j]! - timeS[i]! < lagS) j += 1
    if (j === values.length) break
    const hostS = timeS[j]! - timeS[i]!
    looked += 1
    if (hostS > 30 || (mayStand && values[j] === values[j - 1])) continue
    const tickS = ((((values[j]! - values[i]!) % modulus) + modulus) % modulus) / 1000
    pairs += 1
    if (Math.abs(tickS - hostS) <= RATE_TOLERANCE * hostS + scatterS) agreeing += 1
  }
  return pairs >= 3 && agreeing >= 0.9 * pairs && pairs >= RUNNING_SHARE * looked
}

/** Time between arrivals that one in twenty exceeds: lines that were held back together share a stamp. */
function usualGapS(timeS: readonly number[]): number {
  const gaps = timeS.flatMap((time, i) => (i > 0 && time > timeS[i - 1]! ? [time - timeS[i - 1]!] : []))
  gaps.sort((a, b) => a - b)
  return gaps[Math.floor(0.95 * gaps.length)] ?? 0
}
