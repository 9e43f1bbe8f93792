import { mmPer } from '../../units/index.js'
import { lengthUnitOf } from '../profiles/readout-profile.js'
import { type FieldChoice, SHOWS_DEGREES, type TokenizedLine } from './field-choice.js'
import type { InferenceHints } from './infer-format.js'
import { type LineFormat, MM_PER_LINE_UNIT } from './line-format.js'
import type { FoundShape } from './line-shapes.js'

/** Length in mm of the number 1 where the lines carry no unit. */
export function bareNumberMm(hints: InferenceHints): number {
  const { profile } = hints
  const said = profile === undefined ? null : lengthUnitOf(profile)
  if (said !== null) return mmPer(said)
  return (
    (profile?.unit === 'counts' ? profile.countLengthMm : undefined) ??
    hints.countLengthMm ??
    mmPer(hints.bareUnit)
  )
}

/** What was concluded about a format, one plain sentence each. */
export function sayFormat(
  format: LineFormat,
  shapes: readonly FoundShape[],
  choice: FieldChoice,
  lines: readonly TokenizedLine[],
  hints: InferenceHints,
): string[] {
  return [
    choice.why,
    sayUnit(choice, lines, hints),
    sayDecimals(format, shapes),
    ...shapes.map(saySwitch),
    sayTicks(format, choice, lines),
  ].filter((sentence) => sentence !== null)
}

function sayUnit(choice: FieldChoice, lines: readonly TokenizedLine[], hints: InferenceHints): string {
  if (choice.unit === 'line') {
    const units = [...new Set(lines.flatMap((line) => (line.unit === null ? [] : [line.unit])))]
    const known = units.filter((unit) => unit in MM_PER_LINE_UNIT)
    if (known.length === 1) return `The lines carry their unit, ${known[0] === '"' ? 'in' : known[0]}.`
    return `The lines switch between the units ${known.join(' and ')}; each is read in its own.`
  }
  const counts =
    hints.countLengthMm ?? (hints.profile?.unit === 'counts' ? hints.profile.countLengthMm : undefined)
  if (counts !== undefined)
    return `The numbers are counts of ${Number(counts.toPrecision(12))} ${hints.bareUnit === 'deg' ? 'deg' : 'mm'}.`
  const said = hints.profile === undefined ? null : lengthUnitOf(hints.profile)
  if (said !== null) return `The readout profile says that the numbers are ${said}.`
  if (hints.bareUnit === 'deg' && lines.some(({ raw }) => SHOWS_DEGREES.test(raw)))
    return 'The lines are in degrees.'
  return `The lines carry no unit; their numbers are taken as ${hints.bareUnit}.`
}

function sayDecimals(format: LineFormat, shapes: readonly FoundShape[]): string {
  const mark = format.decimalMark === ',' ? ' behind a decimal comma' : ''
  const lasting = shapes.filter(({ switched }) => switched === null)
  const decimals = [...new Set(lasting.map(({ shape }) => shape.decimals))]
  if (decimals.includes(null)) {
    return 'The numbers drop their trailing zeros, so a line cut short looks like a whole one.'
  }
  if (decimals.length === 1 && decimals[0] === 0) return 'The numbers are whole numbers.'
  const digits = decimals.length === 1 && decimals[0] === 1 ? 'decimal' : 'decimals'
  return `The numbers have ${decimals.join(' or ')} ${digits}${mark}; lines of another shape are refused.`
}

function saySwitch({ switched }: FoundShape): string | null {
  if (switched === null) return null
  const { atS, from, to } = switched
  return `At about ${atS.toFixed(1)} s the numbers change from ${from} to ${to} decimals: the readout may have been switched between inch and mm.`
}

function sayTicks(format: LineFormat, choice: FieldChoice, lines: readonly TokenizedLine[]): string | null {
  if (format.ticks === null || choice.tick === null) return null
  const label = lines[0]!.numbers[choice.tick.field]!.label
  const place = label === null ? `Column ${choice.tick.field + 1}` : `The number labelled ${label}`
  const unit = { 0.001: 'ms', 1: 's', 0.000001: '\u00b5s' }[format.ticks.secondsPerTick]
  const { bits } = format.ticks
  const width = bits === null || bits === 'unsure' ? '' : `, ${bits} bit wide`
  return `${place} is the readout's own clock in ${unit}${width}.`
}
