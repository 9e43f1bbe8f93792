import { sentence, UsageError, way } from '../../errors/index.js'
import type { FieldChoice, TokenizedLine } from '../lines/field-choice.js'
import type { FormatHints } from '../lines/line-format.js'
import type { NumberField } from '../lines/line-tokens.js'
import { type FieldPlace, lengthUnitOf, type ReadoutProfile } from './readout-profile.js'

/** Seconds of a tick in each unit (by definition). */
const SECONDS_PER: Readonly<Record<'ms' | 's' | 'us', number>> = { ms: 0.001, s: 1, us: 1e-6 }

/**
 * Finds the fields that a readout profile names in lines of one shape.
 *
 * @throws UsageError `profile-mismatch`, `count-length-missing`, `unit-conflict`
 */
export function fieldsByProfile(
  lines: readonly TokenizedLine[],
  profile: ReadoutProfile,
  hints: FormatHints,
): FieldChoice {
  const model = lines[0]!
  checkSeparators(model, profile)
  const wanted = hints.axis.toLowerCase()
  const axis =
    profile.axes.find((one) => one.axis.toLowerCase() === wanted) ??
    profile.axes.find((one) => one.axis === '*')
  if (!axis) {
    const known = profile.axes.map((one) => one.axis).join(', ')
    throw mismatch(profile, `knows the axes ${known} but not ${hints.axis}`)
  }
  const position = locate(model.numbers, axis, hints.axis)
  if (position === null)
    throw mismatch(profile, `puts ${hints.axis} at ${sayPlace(axis, hints.axis)}`, model.raw)
  const unit = unitSource(model, profile, hints)
  const why = `The readout profile ${profile.name} says that the position is at ${sayPlace(axis, hints.axis)}.`
  const sign = axis.sign ?? 1
  const clock = profile.deviceTime
  if (!clock) return { position, sign, unit, why, tick: null }
  const field = locate(model.numbers, clock, hints.axis)
  if (field === null) throw mismatch(profile, `puts a clock at ${sayPlace(clock, hints.axis)}`, model.raw)
  return {
    position,
    sign,
    unit,
    why,
    tick: { field, secondsPerTick: SECONDS_PER[clock.unit], bits: clock.bits },
  }
}

function locate(numbers: readonly NumberField[], place: FieldPlace, axis: string): number | null {
  if (place.column !== undefined) {
    const field = place.column > 0 ? place.column - 1 : numbers.length + place.column
    return field >= 0 && field < numbers.length ? field : null
  }
  const label = (place.label === '*' ? axis : place.label!).toLowerCase()
  const field = numbers.findIndex((number) => number.label?.toLowerCase() === label)
  return field >= 0 ? field : null
}

function sayPlace(place: FieldPlace, axis: string): string {
  if (place.column === undefined) return `the label ${place.label === '*' ? axis : place.label}`
  return place.column > 0 ? `column ${place.column}` : `column ${-place.column} from the end`
}

/** Marks between the numbers must be those the profile names; those beside labels are free. */
function checkSeparators(line: TokenizedLine, profile: ReadoutProfile): void {
  const strange = line.tokens.find(
    (token) => token.kind === 'mark' && /[,;|/]/.test(token.text) && !profile.separators.includes(token.text),
  )
  if (strange) throw mismatch(profile, `has no separator ${strange.text}`, line.raw)
}

function unitSource(line: TokenizedLine, profile: ReadoutProfile, hints: FormatHints): 'line' | 'bare' {
  if (profile.unit === 'line') {
    if (line.unit === null) throw mismatch(profile, 'wants a unit in every line', line.raw)
    return 'line'
  }
  if (profile.unit === 'counts' && profile.countLengthMm === undefined && hints.countLengthMm === undefined) {
    throw new UsageError(
      'count-length-missing',
      `The readout profile ${profile.name} reads counts, and their length is not known.`,
      sentence`Give the length of one count, such as 0.005mm${way('count-length')}.`,
    )
  }
  if (lengthUnitOf(profile) !== null && hints.countLengthMm !== undefined) {
    throw new UsageError(
      'unit-conflict',
      `The readout profile ${profile.name} reads ${profile.unit}, so its numbers are not counts.`,
      sentence`Leave out the length of one count${way('count-length')}.`,
    )
  }
  if (line.unit !== null && profile.unit === 'bare')
    throw mismatch(profile, 'reads lines without a unit', line.raw)
  return 'bare'
}

function mismatch(profile: ReadoutProfile, what: string, line?: string): UsageError {
  const seen = line === undefined ? '' : `, which does not fit lines such as "${line.trim().slice(0, 60)}"`
  return new UsageError(
    'profile-mismatch',
    `The readout profile ${profile.name} ${what}${seen}.`,
    'Name another profile, or leave it out to have the format worked out from the lines.',
  )
}
