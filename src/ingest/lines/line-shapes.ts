import type { FieldChoice, TokenizedLine } from './field-choice.js'
import { type LineShape, MM_PER_LINE_UNIT } from './line-format.js'
import { BLANKS, learnNumberShape, type NumberShape, numberPattern } from './number-shape.js'

/** A shape of the lines; `switched` tells of the one that only a stretch of them has. */
export interface FoundShape {
  readonly shape: LineShape
  /** When the lines changed, s, and from how many decimals to how many; null for the main shape. */
  readonly switched: { readonly atS: number; readonly from: number; readonly to: number } | null
}

/**
 * Share of lines from which on a second unit, shape or axis is taken as meant and not as damage. Judgement: a
 * cable that damages more is told elsewhere.
 */
export const NOTICED_SHARE = 0.05
/**
 * Share of one shape within a stretch of lines from which on the stretch has switched to it. Judgement: one line
 * in five may be damaged.
 */
const STRETCH_SHARE = 0.8

/** Groups of lines with the same skeleton, the largest first. */
export function groupBySkeleton(lines: readonly TokenizedLine[]): TokenizedLine[][] {
  const groups = new Map<string, TokenizedLine[]>()
  for (const line of lines) {
    const group = groups.get(line.skeleton)
    if (group) group.push(line)
    else groups.set(line.skeleton, [line])
  }
  return [...groups.values()].sort((a, b) => b.length - a.length)
}

/**
 * The shapes of lines with one skeleton: one for each unit that they carry, and one for a stretch of lines
 * with another count of decimals. A readout that is switched between inch and mm midway shows itself by
 * either; without a unit in the line its positions then jump, for the traverse finder to see.
 */
export function lineShapes(
  lines: readonly TokenizedLine[],
  choice: FieldChoice,
  decimalMark: '.' | ',',
  bareNumberMm: number,
): FoundShape[] {
  const units = new Set(lines.map((line) => line.unit))
  const groups = [...units].map((unit) => ({ unit, group: lines.filter((line) => line.unit === unit) }))
  const noticed = groups.filter(({ group }) => group.length >= NOTICED_SHARE * lines.length)
  return noticed.flatMap(({ unit, group }) => {
    const mm = unit === null || choice.unit !== 'line' ? bareNumberMm : MM_PER_LINE_UNIT[unit]!
    const main = lineShape(group, choice, decimalMark, mm)
    const stretch = switchedStretch(group, main, choice.position)
    const found: FoundShape[] = [{ shape: main, switched: null }]
    if (stretch.length > 0) {
      const shape = lineShape(stretch, choice, decimalMark, mm)
      const mainFromS = group.find((line) => main.pattern.test(line.raw))!.timeS
      found.push({ shape, switched: sayOrder(main, mainFromS, shape, stretch[0]!.timeS) })
    }
    return found
  })
}

/** The shape that begins later is the one that was switched to. */
function sayOrder(main: LineShape, mainFromS: number, other: LineShape, otherFromS: number) {
  const mainFirst = mainFromS < otherFromS
  const [from, to] = mainFirst ? [main, other] : [other, main]
  return { atS: Math.max(mainFromS, otherFromS), from: from.decimals ?? 0, to: to.decimals ?? 0 }
}

function lineShape(
  lines: readonly TokenizedLine[],
  choice: FieldChoice,
  decimalMark: '.' | ',',
  mmPerNumber: number,
): LineShape {
  const numbers = numberShapes(lines)
  const tickFirst = choice.tick !== null && choice.tick.field < choice.position
  return {
    pattern: linePattern(lines, numbers, decimalMark, [choice.position, choice.tick?.field]),
    positionGroup: tickFirst ? 2 : 1,
    tickGroup: choice.tick === null ? null : tickFirst ? 1 : 2,
    mmPerNumber,
    decimals: numbers[choice.position]!.decimals,
  }
}

/** Lines off the main shape that agree with each other and stand together: no damage, which is scattered. */
function switchedStretch(lines: readonly TokenizedLine[], main: LineShape, field: number): TokenizedLine[] {
  const off = lines.flatMap((line, index) => (main.pattern.test(line.raw) ? [] : [{ line, index }]))
  if (main.decimals === null || off.length < NOTICED_SHARE * lines.length) return []
  const { decimals } = learnNumberShape(off.map(({ line }) => line.numbers[field]!.text))
  const agreeing = off.filter(({ line }) => decimalsOf(line.numbers[field]!.text) === decimals)
  if (decimals === main.decimals || agreeing.length < Math.max(5, STRETCH_SHARE * off.length)) return []
  // The outermost twentieth on both sides may be damaged lines that happen to look alike.
  const margin = Math.floor(agreeing.length / 20)
  const inner = agreeing.slice(margin, agreeing.length - margin)
  const stretch = inner.at(-1)!.index - inner[0]!.index + 1
  return inner.length >= STRETCH_SHARE * stretch ? inner.map(({ line }) => line) : []
}

function decimalsOf(text: string): number {
  return /[.,](\d*)/.exec(text)?.[1]?.length ?? 0
}

/** Patterns of whole lines that name other axes only. */
export function otherAxes(
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
      source += afterNumber ? `(?:${BLANKS}+|(?=[+-]))` : `${BLANKS}*`
      source += captured.includes(field) ? `(${pattern})` : pattern
      field += 1
    } else if (token.kind === 'checksum') {
      source += `${BLANKS}*\\*[0-9A-Fa-f]{2}`
    } else {
      // A free word may be a state that changes (moving, stopped); all else is always the same.
      const constant = lines.every((line) => line.tokens[index]!.text === token.text)
      source += `${BLANKS}*${token.kind === 'word' && !constant ? '[A-Za-z\\u00b5]+' : escapeText(token.text)}`
    }
  })
  return new RegExp(`^${source}${BLANKS}*$`)
}

function escapeText(text: string): string {
  return text.replace(/[.*+?^${}()|[\]\\/-]/g, '\\$&')
}
