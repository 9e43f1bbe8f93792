import { DataError, UsageError } from '../../errors/index.js'
import { fitScale, type LineFormat, PLAUSIBLE_SCALES } from '../../ingest/index.js'
import { stepTells } from '../../planning/mix-ups/index.js'
import type { Axis, Store } from '../../store/index.js'
import {
  formatLength,
  type LengthUnit,
  mmPer,
  parseLengthMm,
  parseNumber,
  unitWord,
} from '../../units/index.js'
import { knownAxis, unitIsShown } from '../record/known-feeds.js'
import type { ReadoutSettings } from './readout-settings.js'

/**
 * Share by which a move may be off that only has to tell inches from millimetres: backlash, a turn set by eye.
 * Judgement: the two differ by a factor of 25.
 */
const ROUGH_ERROR = 0.25
/** How far it may be off to tell one count length from another, as a share (common practice, no source). */
const FINE_ERROR = 0.01
/** Readouts step by one, two or five of their last digit (common practice, no source). */
const DIGITS_A_STEP = [1, 2, 5]

/** Whether the machine's unit is no more than a guess for the numbers of a readout: nobody said it, and no run showed it. */
export function unitIsOpen(store: Store, axis: Axis, settings: ReadoutSettings): boolean {
  // Degrees are taken for nothing else.
  if (axis.rotary) return false
  if (settings.unitBasis !== undefined || settings.countLengthMm !== null) return false
  if (settings.profile !== null && settings.profile.unit !== 'bare') return false
  return !unitIsShown(knownAxis(store, axis))
}

/** Whether the lines themselves tell their unit: they carry it, or their last digit is one that readouts have in it alone. */
export function linesTellUnit(format: LineFormat, unit: LengthUnit): boolean {
  if (format.unitInLines === true) return true
  const decimals = format.shapes[0]?.decimals ?? null
  return (
    decimals !== null &&
    DIGITS_A_STEP.every((one) => stepTells(one * 10 ** -decimals * mmPer(unit), unit, unit))
  )
}

/**
 * What the table was moved by, as typed: `1 turn`, `2 turns`, `0.5in`; a bare number is in the machine's unit.
 *
 * @param pitchMm travel of one turn of the handle, or null where it is not known
 * @throws UsageError `pitch-unknown`, `bad-length`, and as `parseLengthMm` does
 */
export function parseMoveMm(text: string, unit: LengthUnit, pitchMm: number | null): number {
  const turns = /^(.+?)\s*turns?$/i.exec(text.trim())
  if (turns !== null && pitchMm === null) {
    throw new UsageError(
      'pitch-unknown',
      'The pitch of this leadscrew is not known.',
      'Type the length instead, such as 0.5in.',
    )
  }
  const lengthMm =
    turns === null
      ? parseLengthMm(text, unit, 'The move')
      : parseNumber(turns[1]!, 'The move') * (pitchMm ?? 0)
  if (lengthMm > 0) return lengthMm
  throw new UsageError(
    'bad-length',
    `The move: "${text}" is not above zero.`,
    'Type it like 1 turn or 0.5in.',
  )
}

/** What a readout showed of a move of the table. */
interface ShownMove {
  /** By the numbers as they were read, mm. */
  readonly shownMm: number
  /** How they were read. */
  readonly format: LineFormat
}

/**
 * How the numbers of a readout are to be read, by a move of known length.
 *
 * @returns the settings, and a sentence that says what was found
 * @throws DataError `nothing-moved`, and as `fitScale` does
 */
export function settingsByMove(
  settings: ReadoutSettings,
  { shownMm, format }: ShownMove,
  lengthMm: number,
): { readonly settings: ReadoutSettings; readonly sentence: string } {
  const shape = format.shapes[0]!
  const decimals = shape.decimals ?? 3
  const numberMoved = Math.abs(shownMm) / shape.mmPerNumber
  const lastDigit = 10 ** -decimals
  if (numberMoved < 2 * lastDigit) {
    throw new DataError(
      'nothing-moved',
      'The readout did not move.',
      'Move the axis that it shows, and let it rest.',
    )
  }
  const move = { numberMoved, lastDigit, lengthMm }
  const off = (mmPerNumber: number) => Math.abs(Math.log((numberMoved * mmPerNumber) / lengthMm))
  const unit = (['in', 'mm'] as const).find((one) => off(mmPer(one)) < Math.log1p(ROUGH_ERROR))
  if (unit !== undefined) {
    return {
      settings: { ...settings, bareUnit: unit, unitBasis: 'moved' },
      sentence: `The readout moved by ${formatLength(numberMoved * mmPer(unit), unit)}: its numbers are ${unitWord(unit)}.`,
    }
  }
  // Numbers with decimals are lengths.
  const scales = decimals === 0 ? PLAUSIBLE_SCALES : PLAUSIBLE_SCALES.filter((one) => one.unit !== 'counts')
  const scale = fitScale({ ...move, errorMm: FINE_ERROR * lengthMm }, scales)
  return {
    settings: { ...settings, countLengthMm: scale.mmPerNumber, unitBasis: 'moved' },
    sentence: `By this move its numbers are ${scale.text}.`,
  }
}
