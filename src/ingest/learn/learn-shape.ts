import { DataError } from '../../errors/index.js'
import { type ClockUnit, clockBits, clockUnit, columnBehaviour } from '../clock/clock-column.js'
import { findDecimalMark } from '../lines/decimal-mark.js'
import type { TokenizedLine } from '../lines/field-choice.js'
import { groupBySkeleton } from '../lines/line-shapes.js'
import { lineTokenizer } from '../lines/line-tokens.js'
import { learnNumberShape } from '../lines/number-shape.js'
import { CONTROL_BYTES } from '../lines/parse-line.js'
import type { StampedLine } from '../lines/stamped-line.js'

/** One number of the lines. */
export interface LearnedColumn {
  /** Lines of this shape hold it. */
  readonly skeleton: string
  /** Its place among the numbers of the line, counted from 1. */
  readonly column: number
  readonly label: string | null
  /** `clock`: the readout's own time; `counter`: it counts the lines. */
  readonly role: 'position' | 'clock' | 'counter'
  /** Unit of a clock, else null. */
  readonly clockUnit: ClockUnit | null
  /** Width of a clock's counter; null for one that never starts again. */
  readonly clockBits: 16 | 32 | null
  /** Digits behind the decimal mark; the most there are where trailing zeros are dropped. */
  readonly decimals: number
  readonly dropsZeros: boolean
  readonly sign: 'always' | 'free'
}

/** How the lines of a readout are made. */
export interface LearnedShape {
  readonly decimalMark: '.' | ','
  /** Marks between the numbers beside blanks. */
  readonly separators: readonly string[]
  /** The unit written in the lines, or null. */
  readonly unit: string | null
  readonly columns: readonly LearnedColumn[]
  /** One line of each shape. */
  readonly examples: readonly string[]
  /** Share of the lines that have one of the shapes. */
  readonly share: number
}

/** The values of one column with the arrivals of their lines. */
export interface ColumnSeries {
  readonly timeS: readonly number[]
  readonly values: readonly number[]
}

/**
 * Share of the lines below which a shape is damage. Judgement: lines for eight axes in turn are an eighth each.
 */
const COMMON_SHARE = 0.12

/**
 * Takes lines apart: labels, columns, sign, decimals, separators, unit; lines of several shapes where each axis has
 * one of its own.
 *
 * @throws DataError `no-usable-lines`, and `comma-ambiguous` as `inferFormat`
 */
export function learnShape(lines: readonly StampedLine[]): LearnedShape {
  const usable = lines.filter(({ text }) => /\d/.test(text) && !CONTROL_BYTES.test(text))
  if (usable.length === 0) {
    throw new DataError(
      'no-usable-lines',
      `None of the ${lines.length} lines holds a readable number.`,
      'Check the baud rate and the cable.',
    )
  }
  const decimalMark = findDecimalMark(usable, false)
  const tokenized = tokenizedLines(usable, decimalMark)
  const groups = groupBySkeleton(tokenized).filter((group) => group.length >= COMMON_SHARE * usable.length)
  const labelled = groups.filter(([model]) => model!.numbers.some((number) => number.label !== null))
  // Lines without labels cannot be told apart by a profile: only the most frequent shape counts.
  const kept = groups.length > 1 && labelled.length > 0 ? labelled : groups.slice(0, 1)
  const units = new Set(kept.flatMap((group) => group.map((line) => line.unit)))
  const [unit] = units
  const marks = kept.flatMap(([model]) => model!.tokens.filter((token) => token.kind === 'mark'))
  return {
    decimalMark,
    separators: [...new Set(marks.map((token) => token.text).filter((text) => /[,;|/]/.test(text)))],
    unit: units.size === 1 ? (unit ?? null) : null,
    columns: kept.flatMap((group) => columnsOf(group, decimalMark)),
    examples: kept.map(([model]) => model!.raw.trim()),
    share: kept.reduce((sum, group) => sum + group.length, 0) / lines.length,
  }
}

function columnsOf(lines: readonly TokenizedLine[], decimalMark: '.' | ','): LearnedColumn[] {
  const model = lines[0]!
  const timeS = lines.map((line) => line.timeS)
  return model.numbers.map(({ label }, field) => {
    const texts = lines.map((line) => line.numbers[field]!.text)
    const values = texts.map((text) =>
      /^\d/.test(text) ? Number(text.replace(decimalMark, '.')) : Number.NaN,
    )
    const outermost = model.numbers.length > 1 && (field === 0 || field === model.numbers.length - 1)
    const unit = outermost ? clockUnit(values, timeS) : null
    const whole = texts.map((text) => (/^\d+$/.test(text) ? Number(text) : Number.NaN))
    const counts = outermost && columnBehaviour(whole, timeS) === 'counter'
    const bits = unit === 'ms' ? clockBits(values) : unit === 'us' ? 32 : null
    const shape = learnNumberShape(texts)
    return {
      skeleton: model.skeleton,
      column: field + 1,
      label,
      role: unit !== null ? 'clock' : counts ? 'counter' : 'position',
      clockUnit: unit,
      // A narrow clock that has not wrapped yet: the unwrapping finds whole turns by the host's time either way.
      clockBits: bits === 'unsure' ? 16 : bits,
      decimals: shape.decimals ?? shape.mostDecimals,
      dropsZeros: shape.decimals === null,
      sign: shape.sign,
    }
  })
}

/** The values of one column in lines that came later, or the same ones. */
export function columnSeries(
  lines: readonly StampedLine[],
  shape: LearnedShape,
  column: LearnedColumn,
): ColumnSeries {
  const timeS: number[] = []
  const values: number[] = []
  for (const line of tokenizedLines(lines, shape.decimalMark)) {
    if (line.skeleton !== column.skeleton) continue
    const text = line.numbers[column.column - 1]!.text.replace(/\s+/g, '').replace(shape.decimalMark, '.')
    const decimals = text.split('.')[1]?.length ?? 0
    // Cut or damaged numbers have other decimals.
    if (decimals !== column.decimals && !column.dropsZeros) continue
    timeS.push(line.timeS)
    values.push(Number(text))
  }
  return { timeS, values }
}

function tokenizedLines(lines: readonly StampedLine[], decimalMark: '.' | ','): TokenizedLine[] {
  const tokenize = lineTokenizer(decimalMark, '')
  return lines.map((line) => ({ ...tokenize(line.text), timeS: line.timeS, raw: line.text }))
}
