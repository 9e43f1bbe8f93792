import { UsageError } from '../../../errors/index.js'
import { mean } from '../../../numbers/mean.js'
import { type LengthUnit, parseNumber, toMm } from '../../../units/index.js'

/** Longest time between two changes of a display that is taken, s. Judgement: a display that slow shows no travel. */
const LONGEST_REFRESH_S = 2

/** What the display shows at a frame of the film, as a person typed it. */
export interface TypedReading {
  readonly timeS: number
  /** With its unit. */
  readonly text: string
  readonly positionMm: number
  /** What one unit of the last digit that was typed is worth. */
  readonly lastDigitMm: number
}

/**
 * Reads a typed position.
 *
 * @param unit of the display
 * @throws UsageError `bad-number`
 * @example typedReading('1.250', 2.4, 'in') // positionMm 31.75, lastDigitMm 0.0254
 */
export function typedReading(text: string, timeS: number, unit: LengthUnit): TypedReading {
  const decimals = /[.,](\d+)\s*$/.exec(text)?.[1]?.length ?? 0
  return {
    timeS,
    text: `${text.trim()} ${unit}`,
    positionMm: toMm(parseNumber(text, 'Position'), unit),
    lastDigitMm: toMm(10 ** -decimals, unit),
  }
}

/** In order of time; a frame that was read before is read anew. */
export function withReading(readings: readonly TypedReading[], one: TypedReading): TypedReading[] {
  return [...readings.filter(({ timeS }) => timeS !== one.timeS), one].toSorted((a, b) => a.timeS - b.timeS)
}

/** Feed from each reading to the next, mm/min. */
export function feedsBetween(readings: readonly TypedReading[]): number[] {
  return readings
    .slice(1)
    .map(
      (one, index) =>
        (60 * (one.positionMm - readings[index]!.positionMm)) / (one.timeS - readings[index]!.timeS),
    )
}

/**
 * What the readings of a run are worth to: the finest digit that was typed, since people leave the zeros at the end out.
 *
 * @throws UsageError `bad-reading` where none has a decimal
 */
export function lastDigitMm(readings: readonly TypedReading[], unit: LengthUnit): number {
  const finest = Math.min(...readings.map((one) => one.lastDigitMm))
  if (finest < toMm(1, unit)) return finest
  throw new UsageError(
    'bad-reading',
    'No reading has a decimal point.',
    'Type the positions as the display shows them, with all their digits.',
  )
}

/** Between changes of which none was passed over, in the shortest such time. Derived: half way to twice as long. */
const ONE_CHANGE = 1.5

/**
 * Time between frames at which the display was seen to change, s; null before there are two. Each is a frame too long or
 * too short, so those between changes one after the other are averaged.
 */
export function refreshOf(changesS: readonly number[]): number | null {
  const sorted = changesS.toSorted((a, b) => a - b)
  const between = sorted.slice(1).map((at, index) => at - sorted[index]!)
  const shortest = Math.min(...between)
  return between.length === 0 ? null : mean(between.filter((one) => one < ONE_CHANGE * shortest))
}

/**
 * A time between changes as somebody typed it, s; null where the field is empty.
 *
 * @throws UsageError `bad-number`, `bad-refresh`
 */
export function typedRefresh(text: string): number | null {
  if (text.trim() === '') return null
  const refreshS = parseNumber(text, 'Time between changes of the display')
  if (refreshS > 0 && refreshS <= LONGEST_REFRESH_S) return refreshS
  throw new UsageError(
    'bad-refresh',
    `A display does not change every ${text.trim()} s.`,
    'Give the time from one change to the next in seconds, such as 0.1, or leave the field empty.',
  )
}
