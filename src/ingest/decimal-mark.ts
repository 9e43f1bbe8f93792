import { DataError } from '../errors/index.js'
import { columnBehaviour } from './clock-column.js'
import type { StampedLine } from './stamped-line.js'

/** Share of the lines with marks between digits that must be laid out alike before they decide. */
const COMMON_SHARE = 1 / 3

/**
 * Finds the decimal mark of a stream, by the lines that are laid out as most are: a damaged line says nothing of the
 * others. Numbers with points settle it. A comma counts as a decimal mark only where it can be nothing else: one
 * comma a number, always the same count of digits behind it, and the digits around it neither tell the time nor
 * count the lines.
 *
 * @param wholeNumbers the numbers are known to be counts, so that every comma parts two of them
 * @throws DataError `comma-ambiguous`
 */
export function findDecimalMark(lines: readonly StampedLine[], wholeNumbers: boolean): '.' | ',' {
  const marked = lines.filter((line) => /\d[.,]\d/.test(line.text))
  if (wholeNumbers || marked.length < lines.length / 2) return '.'
  const common = laidOutAlike(marked)
  const [layout] = common.map(layoutOf)
  if (layout === undefined || /#\.#/.test(layout) || /#,#,#/.test(layout)) return '.'
  const groups = common.map((line) => line.text.match(/\d+,\d+/g) ?? [])
  const decimals = groups.map((group) => group.map((text) => text.split(',')[1]!.length).join(' '))
  const usual = mostFrequent(decimals)
  const agreeing = decimals.filter((text) => text === usual).length
  if (agreeing < 0.9 * decimals.length || common.length < COMMON_SHARE * marked.length) {
    throw new DataError(
      'comma-ambiguous',
      `In lines such as "${common[0]!.text.trim()}" the comma may be a decimal mark or part two numbers.`,
      'Name a readout profile that says it, with --readout.',
    )
  }
  return partsACounter(common) ? '.' : ','
}

/** The lines of the most frequent layout. */
function laidOutAlike(lines: readonly StampedLine[]): readonly StampedLine[] {
  const usual = mostFrequent(lines.map(layoutOf))
  return lines.filter((line) => layoutOf(line) === usual)
}

/** A line with its digits, signs and letters blotted out: `X-12,5 mm` as `w#,# w`. */
function layoutOf({ text }: StampedLine): string {
  return text
    .trim()
    .replace(/\s+/g, ' ')
    .replace(/[+-] ?/g, '')
    .replace(/\d+/g, '#')
    .replace(/[A-Za-z\u00b5]+/g, 'w')
}

/** True where the digits on one side of a lone comma run like a clock or count the lines: `1200,45678`. */
function partsACounter(lines: readonly StampedLine[]): boolean {
  const pairs = lines.flatMap((line) => {
    const match = /^[^\d]*(\d+),(\d+)[^\d]*$/.exec(line.text)
    return match ? [{ timeS: line.timeS, left: Number(match[1]), right: Number(match[2]) }] : []
  })
  const timeS = pairs.map((pair) => pair.timeS)
  return [pairs.map((pair) => pair.left), pairs.map((pair) => pair.right)].some(
    (column) => columnBehaviour(column, timeS) !== 'other',
  )
}

function mostFrequent(texts: readonly string[]): string | undefined {
  const counts = new Map<string, number>()
  for (const text of texts) counts.set(text, (counts.get(text) ?? 0) + 1)
  return [...counts].sort((a, b) => b[1] - a[1])[0]?.[0]
}
