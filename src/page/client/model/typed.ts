import { fromMm, type LengthUnit, toMm } from '../../../units/index.js'

/** What a person typed, with the unit that a bare number in it was meant in. */
export interface Typed {
  readonly text: string
  readonly unit: LengthUnit
}

/** Digits that a handwheel or a readout shows, by unit (common practice, no source). */
const DECIMALS = { in: 4, mm: 2, deg: 2 } as const

/**
 * The same quantity to be read in another unit: a bare number is worked out anew, what names its unit stays as it is,
 * and so does what is no number.
 *
 * @example inUnit({ text: '7', unit: 'in' }, 'mm') // '177.8'
 */
export function inUnit({ text, unit }: Typed, shown: LengthUnit): string {
  // A length is no angle: a bare number stays what it is.
  if (unit === shown || unit === 'deg' || shown === 'deg') return text
  const bare = /^\s*\d+(?:[.,]\d*)?\s*$/.exec(text)
  if (bare === null) return text
  const mm = toMm(plainNumber(text), unit)
  return String(Number(fromMm(mm, shown).toFixed(DECIMALS[shown])))
}

/** A bare number as it was typed, with a point or a comma; NaN where it is none. */
export function plainNumber(text: string): number {
  return Number(text.replace(',', '.'))
}
