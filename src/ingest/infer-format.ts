import { DataError } from '../errors/index.js'
import { clockBits } from './clock-column.js'
import { findDecimalMark } from './decimal-mark.js'
import { chooseFields, type FieldChoice, type TokenizedLine } from './field-choice.js'
import { type FormatHints, type LineFormat, type LineShape, MM_PER_LINE_UNIT } from './line-format.js'
import { lineTokenizer } from './line-tokens.js'
import { learnNumberShape, type NumberShape, numberPattern } from './number-shape.js'
import { CONTROL_BYTES } from './parse-line.js'
import type { ReadoutProfile } from './readout-profile.js'
import { bareNumberMm, sayFormat } from './say-format.js'
import type { StampedLine } from './stamped-line.js'

export interface InferenceHints extends FormatHints {
  /** Says which field is which; the exact shape is still learned from the lines. */
  readonly profile?: ReadoutProfile | undefined
}

export interface InferredFormat {
  readonly format: LineFormat
  /** One plain sentence each. */
  readonly conclusions: readonly string[]
}

/** A shape is common when at least this share of the lines with numbers has it. */
const COMMON_SHARE = 1 / 3
/** Share of lines from which a second unit, or another axis, is taken as meant and not as damage. */
const NOTICED_SHARE = 0.05

/**
 * Works out from a stretch of lines how to read all of them: decimal mark, the field of the axis,
 * unit, the readout's own clock, and the exact shape that is then demanded of every line. Damaged
 * lines among them do no harm as long as the sound ones have one shape.
 *
 * @throws DataError `no-usable-lines`, `no-common-shape`, `comma-ambiguous`, `no-column-moves`
 * @throws UsageError `axis-not-in-lines`, `several-columns-move`, `profile-mismatch`, `unit-conflict`,
 *   `count-length-missing`
 */
export function inferFormat(lines: readonly StampedLine[], hints: InferenceHints): InferredFormat {
  const usable = lines.filter((line) => /\d/.test(line.text) && !CONTROL_BYTES.test(line.text))
  if (usable.length === 0) {
    throw new DataError(
      'no-usable-lines',
      `None of the ${lines.length} lines holds a readable number.`,
      'Check the baud rate and the cable, or that the file is a recording of a readout.',
    )
  }
  const decimalMark = decimalMarkOf(usable, hints)
  const tokenize = lineTokenizer(decimalMark, hints.axis)
  const tokenized = usable.map((line) => ({ ...tokenize(line.text), timeS: line.timeS, raw: line.text }))
  const ours = linesOfAxis(tokenized, hints)
  const common = commonLines(ours)
  const choice = chooseFields(common, decimalMark, hints)
  const tickValues =
    choice.tick === null ? [] : common.map((line) => Number(line.numbers[choice.tick!.field]!.text))
  const format: LineFormat = {
    shapes: shapesByUnit(common, choice, decimalMark, hints),
    otherAxes: ours.length < tokenized.length ? otherAxes(tokenized, ours, decimalMark) : [],
    decimalMark,
    sign: choice.sign,
    ticks:
      choice.tick === null
        ? null
        : {
            secondsPerTick: choice.tick.secondsPerTick,
            bits: choice.tick.bits === 'find-out' ? clockBits(tickValues) : choice.tick.bits,
          },
  }
  return { format, conclusions: sayFormat(format, choice, common, hints) }
}

function decimalMarkOf(lines: readonly StampedLine[], hints: InferenceHints): '.' | ',' {
  if (hints.profile) return hints.profile.decimalMark === 'comma' ? ',' : '.'
  return findDecimalMark(lines, hints.countLengthMm !== undefined)
}

/** Where the axis is named in a fair share of the lines, only those lines speak of it. */
function linesOfAxis(lines: readonly TokenizedLine[], hints: InferenceHints): readonly TokenizedLine[] {
  const axis = hints.axis.toLowerCase()
  const named = lines.filter((line) => line.numbers.some((number) => number.label?.toLowerCase() === axis))
  return named.length >= NOTICED_SHARE * lines.length && named.length >= 3 ? named : lines
}

function commonLines(lines: readonly TokenizedLine[]): readonly TokenizedLine[] {
  const [common] = groupBySkeleton(lines)
  if (!common || common.length < COMMON_SHARE * lines.length) {
    throw new DataError(
      'no-common-shape',
      `The ${lines.length} lines have no common shape; the first is "${lines[0]!.raw.trim().slice(0, 60)}".`,
      'Check the baud rate, or name a readout profile with --readout.',
    )
  }
  return common
}

/** Groups of lines with the same skeleton, the largest first. */
function groupBySkeleton(lines: readonly TokenizedLine[]): TokenizedLine[][] {
  const groups = new Map<string, TokenizedLine[]>()
  for (const line of lines) {
    const group = groups.get(line.skeleton)
    if (group) group.push(line)
    else groups.set(line.skeleton, [line])
  }
  return [...groups.values()].sort((a, b) => b.length - a.length)
}

/** One shape for each unit that the lines carry: a readout switched midway says so in its lines. */
function shapesByUnit(
  lines: readonly TokenizedLine[],
  choice: FieldChoice,
  decimalMark: '.' | ',',
  hints: InferenceHints,
): LineShape[] {
  const units = new Set(lines.map((line) => line.unit))
  const groups = [...units].map((unit) => ({ unit, group: lines.filter((line) => line.unit === unit) }))
  const noticed = groups.filter(({ group }) => group.length >= NOTICED_SHARE * lines.length)
  return noticed.map(({ unit, group }) => {
    const numbers = numberShapes(group)
    const tickFirst = choice.tick !== null && choice.tick.field < choice.position
    return {
      pattern: linePattern(group, numbers, decimalMark, [choice.position, choice.tick?.field]),
      positionGroup: tickFirst ? 2 : 1,
      tickGroup: choice.tick === null ? null : tickFirst ? 1 : 2,
      mmPerNumber: unit === null || choice.unit !== 'line' ? bareNumberMm(hints) : MM_PER_LINE_UNIT[unit]!,
      decimals: numbers[choice.position]!.decimals,
    }
  })
}

function otherAxes(
  all: readonly TokenizedLine[],
  ours: readonly TokenizedLine[],
  decimalMark: '.' | ',',
): RegExp[] {
  const mine = new Set(ours)
  const others = all.filter((line) => !mine.has(line) && line.numbers.some((number) => number.label !== null))
  return groupBySkeleton(others)
    .filter((group) => group.length >= NOTICED_SHARE * all.length)
    .map((group) => linePattern(group, numberShapes(group), decimalMark, []))
}

function numberShapes(lines: readonly TokenizedLine[]): NumberShape[] {
  return lines[0]!.numbers.map((_, field) => learnNumberShape(lines.map((line) => line.numbers[field]!.text)))
}

/** The pattern that whole lines of this shape match; `captured` are the numbers that get a group. */
function linePattern(
  lines: readonly TokenizedLine[],
  numbers: readonly NumberShape[],
  decimalMark: '.' | ',',
  captured: readonly (number | undefined)[],
): RegExp {
  let source = ''
  let field = 0
  const model = lines[0]!.tokens
  model.forEach((token, index) => {
    const afterNumber = model[index - 1]?.kind === 'number'
    if (token.kind === 'number') {
      const pattern = numberPattern(numbers[field]!, decimalMark)
      source += afterNumber ? '(?:\\s+|(?=[+-]))' : '\\s*'
      source += captured.includes(field) ? `(${pattern})` : pattern
      field += 1
    } else {
      // A free word may be a state that changes (moving, stopped); all else is always the same.
      const constant = lines.every((line) => line.tokens[index]!.text === token.text)
      source += `\\s*${token.kind === 'word' && !constant ? '[A-Za-z\\u00b5]+' : escapeText(token.text)}`
    }
  })
  return new RegExp(`^${source}\\s*$`)
}

function escapeText(text: string): string {
  return text.replace(/[.*+?^${}()|[\]\\/-]/g, '\\$&')
}
