import { DataError, sentence, UsageError, way } from '../../errors/index.js'
import { unitWord } from '../../units/index.js'
import { type ColumnBehaviour, clockUnit, columnBehaviour, SECONDS_PER_TICK } from '../clock/clock-column.js'
import { fieldsByProfile } from '../profiles/profile-fields.js'
import { lengthUnitOf, type ReadoutProfile } from '../profiles/readout-profile.js'
import type { FormatHints } from './line-format.js'
import type { LineTokens } from './line-tokens.js'

export interface TokenizedLine extends LineTokens {
  readonly timeS: number
  readonly raw: string
}

/** Which number of a line is what; fields count from 0 among the numbers of the line. */
export interface FieldChoice {
  readonly position: number
  readonly sign: 1 | -1
  /** `line`: the unit that a line carries counts; `bare`: it is known beforehand. */
  readonly unit: 'line' | 'bare'
  readonly tick: {
    readonly field: number
    readonly secondsPerTick: number
    readonly bits: 16 | 32 | null | 'find-out'
  } | null
  /** How the position was found, one sentence. */
  readonly why: string
}

const CLOCK_LABELS = new Set(['t', 'time', 'ms', 'ts', 'clk', 'clock', 'tick', 'ticks', 'millis'])

/**
 * Finds the position and the readout's own clock among the numbers of lines of one shape.
 *
 * @throws UsageError, DataError as listed at `inferFormat`
 */
export function chooseFields(
  lines: readonly TokenizedLine[],
  decimalMark: '.' | ',',
  hints: FormatHints & { readonly profile?: ReadoutProfile | undefined },
): FieldChoice {
  refuseOtherKind(lines, hints)
  if (hints.profile) return fieldsByProfile(lines, hints.profile, hints)
  const unit = hints.bareUnit === 'deg' ? 'bare' : unitSource(lines, hints)
  const clock = findClock(lines, decimalMark, hints.axis)
  return { ...findPosition(lines, decimalMark, clock?.field ?? null, hints.axis), sign: 1, unit, tick: clock }
}

function unitSource(lines: readonly TokenizedLine[], hints: FormatHints): 'line' | 'bare' {
  const carried = lines.filter((line) => line.unit !== null)
  if (carried.length < lines.length / 2) return 'bare'
  if (hints.countLengthMm !== undefined) {
    throw new UsageError(
      'unit-conflict',
      `The lines carry the unit ${carried[0]!.unit}, so their numbers are not counts.`,
      sentence`Leave out the length of one count${way('count-length')}.`,
    )
  }
  return 'line'
}

/** How a line says that its number is an angle. */
export const SHOWS_DEGREES = /°|deg/i

/**
 * Lengths are refused for an axis that turns, and degrees for a straight one. Lines that hold both kinds show several
 * axes, and a label or a profile tells which is meant.
 *
 * @throws UsageError `other-kind`
 */
function refuseOtherKind(
  lines: readonly TokenizedLine[],
  { bareUnit, profile }: FormatHints & { readonly profile?: ReadoutProfile | undefined },
): void {
  const turns = bareUnit === 'deg'
  const said = profile === undefined ? null : lengthUnitOf(profile)
  if (said !== null && turns !== (said === 'deg')) {
    throw otherKind(`The readout profile ${profile!.name} reads ${unitWord(said)}`, turns)
  }
  const carried = lines.filter(({ unit, raw }) => unit !== null && !SHOWS_DEGREES.test(raw))
  if (turns && carried.length >= lines.length / 2) {
    throw otherKind(`The lines carry the unit ${carried[0]!.unit}`, turns)
  }
}

function otherKind(what: string, turns: boolean): UsageError {
  return new UsageError(
    'other-kind',
    `${what}, and this axis ${turns ? 'turns: it is measured in degrees' : 'is straight'}.`,
    'Check which axis this readout is on, or choose another profile.',
  )
}

const CLOCK_HINT = sentence`Record a rest before or after the travel, or name a readout profile${way('profile')} that says which one is the axis.`

/**
 * The first or last number, where it runs like a clock.
 *
 * @throws DataError `clock-ambiguous`
 */
function findClock(
  lines: readonly TokenizedLine[],
  decimalMark: '.' | ',',
  axis: string,
): FieldChoice['tick'] {
  const model = lines[0]!.numbers
  if (model.length < 2) return null
  const clocks = [0, model.length - 1].flatMap((field) => {
    const label = model[field]!.label?.toLowerCase() ?? null
    const mayBeClock = label === null || (CLOCK_LABELS.has(label) && label !== axis.toLowerCase())
    // Beside a number with decimals, one without is no position: a clock then, even one that stopped.
    const mayStand = model.some(({ text }, other) => other !== field && /\d[.,]\d/.test(text))
    const unit = mayBeClock ? clockUnit(unsigned(lines, field, decimalMark), timesOf(lines), mayStand) : null
    return unit === null ? [] : [{ field, unit }]
  })
  // A table may move at the pace of a clock in s for a while, and its counts at that of one in ms.
  const [clock, other] = clocks.sort((a, b) => Number(a.unit === 's') - Number(b.unit === 's'))
  if (clock === undefined) return null
  if (other !== undefined && (other.unit === 's') === (clock.unit === 's')) {
    throw new DataError(
      'clock-ambiguous',
      `Columns ${clocks.map(({ field }) => field + 1).join(' and ')} both run like a clock.`,
      CLOCK_HINT,
    )
  }
  if (clock.unit === 's' && model[clock.field]!.label === null && !isNamed(model, axis)) {
    const others = model.flatMap((_, field) => (field === clock.field ? [] : [field]))
    const rest = others.filter((field) => behaviourOf(lines, field) !== 'counter')
    // What runs beside a counter alone is the position.
    if (rest.length === 0) return null
    if (!rest.some((field) => moves(columnRange(lines, field, decimalMark)))) {
      throw new DataError(
        'clock-ambiguous',
        `Column ${clock.field + 1} runs like a clock in s, but could also be a table moving at that pace, since nothing else moves.`,
        CLOCK_HINT,
      )
    }
  }
  const bits = { ms: 'find-out', us: 32, s: null } as const
  return { field: clock.field, secondsPerTick: SECONDS_PER_TICK[clock.unit], bits: bits[clock.unit] }
}

function isNamed(numbers: TokenizedLine['numbers'], axis: string): boolean {
  return numbers.some((number) => number.label?.toLowerCase() === axis.toLowerCase())
}

/** The values of a column that carries no sign; NaN for others. */
function unsigned(lines: readonly TokenizedLine[], field: number, decimalMark: '.' | ','): number[] {
  return lines.map((line) => {
    const { text } = line.numbers[field]!
    return /^\d/.test(text) ? Number(text.replace(decimalMark, '.')) : Number.NaN
  })
}

function timesOf(lines: readonly TokenizedLine[]): number[] {
  return lines.map((line) => line.timeS)
}

function behaviourOf(lines: readonly TokenizedLine[], field: number): ColumnBehaviour {
  const values = lines.map((line) => {
    const { text } = line.numbers[field]!
    return /^\d+$/.test(text) ? Number(text) : Number.NaN
  })
  return columnBehaviour(values, timesOf(lines))
}

function findPosition(
  lines: readonly TokenizedLine[],
  decimalMark: '.' | ',',
  clock: number | null,
  axis: string,
): { position: number; why: string } {
  const model = lines[0]!.numbers
  const named = model.findIndex((number) => number.label?.toLowerCase() === axis.toLowerCase())
  if (named >= 0)
    return { position: named, why: `The position is the number labelled ${model[named]!.label}.` }
  const open = model.flatMap((number, field) => (field === clock ? [] : [{ field, label: number.label }]))
  const labels = open.flatMap(({ label }) => (label === null ? [] : [label]))
  // A letter is meant to be a label; a name such as "table" may be the machine's own.
  if (axis.length === 1 && labels.some((label) => label.length === 1)) {
    throw new UsageError(
      'axis-not-in-lines',
      `The lines carry ${labels.join(', ')} but nothing labelled ${axis}.`,
      sentence`Name the axis as the readout does, or name a readout profile${way('profile')}.`,
    )
  }
  const [only] = open
  if (open.length === 1) {
    const label = only!.label
    const why =
      label === null ? 'The position is the only number.' : `The position is the number labelled ${label}.`
    return { position: only!.field, why }
  }
  return theOneThatMoves(
    lines,
    decimalMark,
    open.map(({ field }) => field),
  )
}

function theOneThatMoves(
  lines: readonly TokenizedLine[],
  decimalMark: '.' | ',',
  fields: readonly number[],
): { position: number; why: string } {
  const ranges = fields
    .filter((field) => behaviourOf(lines, field) !== 'counter')
    .map((field) => ({ field, ...columnRange(lines, field, decimalMark) }))
  const widest = Math.max(...ranges.map(({ range }) => range))
  const moving = ranges.filter(({ range, step }) => moves({ range, step }) && range > 0.02 * widest)
  const hint = sentence`Name a readout profile${way('profile')} that says which column is the axis.`
  if (moving.length === 0) {
    throw new DataError(
      'no-column-moves',
      `None of the ${fields.length} numbers in a line moves, and no label says which one is the axis.`,
      hint,
    )
  }
  if (moving.length > 1) {
    const columns = moving.map(({ field }) => field + 1).join(' and ')
    throw new UsageError(
      'several-columns-move',
      `Columns ${columns} all move, and no label says which one is the axis.`,
      hint,
    )
  }
  const { field } = moving[0]!
  return { position: field, why: `The position is column ${field + 1}, the only one that moves.` }
}

function moves({ range, step }: { readonly range: number; readonly step: number }): boolean {
  return range > 5.5 * step
}

/** How far a column travels, freaks left out, and its smallest step by its decimals. */
function columnRange(
  lines: readonly TokenizedLine[],
  field: number,
  decimalMark: '.' | ',',
): { range: number; step: number } {
  const texts = lines.map((line) => line.numbers[field]!.text.replace(/\s+/g, '').replace(decimalMark, '.'))
  const values = texts.map(Number).sort((a, b) => a - b)
  const freaks = Math.floor(values.length * 0.02)
  const decimals = Math.max(...texts.map((text) => text.split('.')[1]?.length ?? 0))
  return { range: values[values.length - 1 - freaks]! - values[freaks]!, step: 10 ** -decimals }
}
