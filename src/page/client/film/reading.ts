import { UsageError } from '../../../errors/index.js'
import { type LengthUnit, parseNumber, toMm } from '../../../units/index.js'

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

/** Shortest time between frames at which the display was seen to change, s; null before there are two. */
export function refreshOf(changesS: readonly number[]): number | null {
  const sorted = changesS.toSorted((a, b) => a - b)
  const between = sorted.slice(1).map((at, index) => at - sorted[index]!)
  return between.length === 0 ? null : Math.min(...between)
}
