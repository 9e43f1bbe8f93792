import { DataError, sentence, way } from '../../errors/index.js'
import { clockBits } from '../clock/clock-column.js'
import type { ReadoutProfile } from '../profiles/readout-profile.js'
import { findDecimalMark } from './decimal-mark.js'
import { chooseFields, type TokenizedLine } from './field-choice.js'
import type { FormatHints, LineFormat } from './line-format.js'
import { groupBySkeleton, lineShapes, NOTICED_SHARE, otherAxes } from './line-shapes.js'
import { lineTokenizer } from './line-tokens.js'
import { CONTROL_BYTES } from './parse-line.js'
import { bareNumberMm, sayFormat } from './say-format.js'
import type { StampedLine } from './stamped-line.js'

export interface InferenceHints extends FormatHints {
  /** Says which field is which; the exact shape is still learned from the lines. */
  readonly profile?: ReadoutProfile | undefined
}

interface InferredFormat {
  readonly format: LineFormat
  /** One plain sentence each. */
  readonly conclusions: readonly string[]
}

/**
 * Characters of a line above which it shows no readout's format. Judgement: eight axes of twenty characters are
 * 160.
 */
const LONGEST_MODEL = 250
/**
 * Share of the lines with numbers that a common shape has at least. Judgement: three axes that are sent in turn
 * have a third each.
 */
const COMMON_SHARE = 1 / 3

/**
 * Works out from a stretch of lines how to read all of them: decimal mark, the field of the axis,
 * unit, the readout's own clock, and the exact shape that is then demanded of every line. Damaged
 * lines among them do no harm as long as the sound ones have one shape.
 *
 * @throws DataError `no-usable-lines`, `no-common-shape`, `comma-ambiguous`, `clock-ambiguous`, `no-column-moves`
 * @throws UsageError `axis-not-in-lines`, `several-columns-move`, `profile-mismatch`, `unit-conflict`,
 *   `count-length-missing`
 */
export function inferFormat(lines: readonly StampedLine[], hints: InferenceHints): InferredFormat {
  const usable = lines.filter(
    ({ text }) => text.length <= LONGEST_MODEL && /\d/.test(text) && !CONTROL_BYTES.test(text),
  )
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
  const shapes = lineShapes(common, choice, decimalMark, bareNumberMm(hints))
  const format: LineFormat = {
    shapes: shapes.map(({ shape }) => shape),
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
    ...(choice.unit === 'line' ? { unitInLines: true as const } : {}),
  }
  return { format, conclusions: sayFormat(format, shapes, choice, common, hints) }
}

function decimalMarkOf(lines: readonly StampedLine[], hints: InferenceHints): '.' | ',' {
  if (hints.profile) return hints.profile.decimalMark === 'comma' ? ',' : '.'
  return findDecimalMark(lines, hints.countLengthMm !== undefined)
}

/** Where the axis is named in a fair share of the lines, only those lines speak of it. */
function linesOfAxis(lines: readonly TokenizedLine[], hints: InferenceHints): readonly TokenizedLine[] {
  const axis = labelOfAxis(hints)
  const named = lines.filter((line) => line.numbers.some((number) => number.label?.toLowerCase() === axis))
  return named.length >= NOTICED_SHARE * lines.length && named.length >= 3 ? named : lines
}

/** What the axis is labelled in the lines: a profile may call it otherwise than the machine does. */
function labelOfAxis({ axis, profile }: InferenceHints): string {
  const wanted = axis.toLowerCase()
  const place =
    profile?.axes.find((one) => one.axis.toLowerCase() === wanted) ??
    profile?.axes.find((one) => one.axis === '*')
  const label = place?.label?.toLowerCase()
  return label === undefined || label === '*' ? wanted : label
}

function commonLines(lines: readonly TokenizedLine[]): readonly TokenizedLine[] {
  const [common] = groupBySkeleton(lines)
  if (!common || common.length < COMMON_SHARE * lines.length) {
    throw new DataError(
      'no-common-shape',
      `The ${lines.length} lines have no common shape; the first is "${lines[0]!.raw.trim().slice(0, 60)}".`,
      sentence`Check the baud rate, or name a readout profile${way('profile')}.`,
    )
  }
  return common
}
