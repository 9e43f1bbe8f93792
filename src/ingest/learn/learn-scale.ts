import { DataError, sentence, way } from '../../errors/index.js'
import { fromMm, type LengthUnit, MM_PER_INCH } from '../../units/index.js'
import { MM_PER_LINE_UNIT } from '../lines/line-format.js'

/** What the number 1 in the lines may be worth. */
interface PlausibleScale {
  readonly mmPerNumber: number
  /** `counts` for all but whole units. */
  readonly unit: LengthUnit | 'counts'
  /** `mm`, `counts of 5 µm`. */
  readonly text: string
}

/** A move of known length and what the numbers made of it. */
export interface KnownMove {
  /** Difference of the numbers, from rest to rest. */
  readonly numberMoved: number
  /** What one unit of the last digit is in numbers: 0.001 for three decimals. */
  readonly lastDigit: number
  readonly lengthMm: number
  /** The length may be off by this much, mm. */
  readonly errorMm: number
}

/** The scale that a known move shows. */
export interface FittedScale extends PlausibleScale {
  /** By how much the move is longer by the numbers than it was said to be, percent. */
  readonly offPercent: number
  /** By how much it might be off, percent: the stated error and a digit at each end. */
  readonly allowedPercent: number
}

/** Units and steps of scales, metric and inch (common practice, no source). */
export const PLAUSIBLE_SCALES: readonly PlausibleScale[] = [
  { mmPerNumber: 1, unit: 'mm', text: 'mm' },
  { mmPerNumber: MM_PER_INCH, unit: 'in', text: 'in' },
  ...[1, 2, 5, 10].map((um) => ({
    mmPerNumber: um / 1000,
    unit: 'counts' as const,
    text: `counts of ${um} \u00b5m`,
  })),
  ...[0.0001, 0.0002, 0.00025, 0.0005].map((inch) => ({
    mmPerNumber: inch * MM_PER_INCH,
    unit: 'counts' as const,
    text: `counts of ${inch} in`,
  })),
]

/** The same of a readout that shows degrees (common practice, no source). */
export const PLAUSIBLE_ANGLE_SCALES: readonly PlausibleScale[] = [
  { mmPerNumber: 1, unit: 'deg', text: 'degrees' },
  ...[0.0001, 0.0002, 0.0005, 0.001, 0.002, 0.005, 0.01].map((deg) => ({
    mmPerNumber: deg,
    unit: 'counts' as const,
    text: `counts of ${deg} deg`,
  })),
]

/**
 * The one plausible scale by which the numbers tell the known move, within its error.
 *
 * @throws DataError `scale-unknown` where none fits, `scale-ambiguous` where several do
 */
export function fitScale(move: KnownMove, scales = PLAUSIBLE_SCALES): FittedScale {
  const fitted = scales
    .map((scale) => ({ ...scale, ...matchOf(scale.mmPerNumber, move) }))
    .sort((a, b) => Math.abs(a.offPercent) - Math.abs(b.offPercent))
  const [nearest, ...others] = fitted.filter((one) => Math.abs(one.offPercent) <= one.allowedPercent)
  if (nearest === undefined) throw unknownScale(move, fitted[0]!, scales)
  if (others.length === 0) return nearest
  const texts = [nearest, ...others].map((one) => `${one.text} (${sayOff(one.offPercent)})`).join(' and ')
  throw new DataError(
    'scale-ambiguous',
    `The known move fits ${texts}.`,
    sentence`Make a longer move, or one that is known better, and give its error${way('move-error')}.`,
  )
}

/** What the number 1 is worth where the lines carry this unit, mm. */
export function lineUnitMm(unit: string): number {
  return MM_PER_LINE_UNIT[unit]!
}

/**
 * Checks the unit that the lines carry against a known move.
 *
 * @throws DataError `scale-mismatch`
 */
export function checkLineUnit(unit: string, move: KnownMove): FittedScale {
  const mmPerNumber = lineUnitMm(unit)
  const match = matchOf(mmPerNumber, move)
  if (Math.abs(match.offPercent) > match.allowedPercent) {
    throw new DataError(
      'scale-mismatch',
      `The lines say ${unit}, but by them the known move is ${sayOff(match.offPercent)}.`,
      'Check the length of the move, and whether the readout shows diameters or has a scale factor set.',
    )
  }
  return {
    mmPerNumber,
    unit: mmPerNumber === MM_PER_INCH ? 'in' : 'mm',
    text: `${unit}, as the lines say`,
    ...match,
  }
}

/** How a scale fits a known move, percent. */
function matchOf(
  mmPerNumber: number,
  { numberMoved, lastDigit, lengthMm, errorMm }: KnownMove,
): { readonly offPercent: number; readonly allowedPercent: number } {
  const shownMm = Math.abs(numberMoved) * mmPerNumber
  return {
    offPercent: 100 * (shownMm / lengthMm - 1),
    allowedPercent: (100 * (errorMm + lastDigit * mmPerNumber)) / lengthMm,
  }
}

/** `0.3 % long`, `exact`. */
export function sayOff(offPercent: number): string {
  const percent = Math.abs(offPercent)
  if (percent < 0.005) return 'exact'
  return `${Number(percent.toPrecision(2))} % ${offPercent > 0 ? 'long' : 'short'}`
}

function unknownScale(move: KnownMove, nearest: FittedScale, scales: readonly PlausibleScale[]): DataError {
  const worthMm = move.lengthMm / Math.abs(move.numberMoved)
  const number = (value: number) => Number(value.toPrecision(5))
  const worth =
    scales === PLAUSIBLE_ANGLE_SCALES
      ? `${number(worthMm)} deg`
      : `${number(worthMm)} mm (${number(fromMm(worthMm, 'in'))} in)`
  return new DataError(
    'scale-unknown',
    `By the known move the number 1 is worth ${worth}, and no usual scale has that; the nearest, ${nearest.text}, would be ${sayOff(nearest.offPercent)}.`,
    sentence`Repeat the move from rest to rest without backlash, check its length, and state its error${way('move-error')}.`,
  )
}
