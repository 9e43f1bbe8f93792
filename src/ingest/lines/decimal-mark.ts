import { DataError, sentence, way } from '../../errors/index.js'
import { columnBehaviour } from '../clock/clock-column.js'
import type { StampedLine } from './stamped-line.js'

/**
 * Share of the lines with marks between digits that must be laid out the same before they decide. Judgement: as
 * for a shape in `infer-format.ts`.
 */
const COMMON_SHARE = 1 / 3

/**
 * Lines in a row that count by one, after which a number is a counter. Judgement: a table that moves hardly does
 * so.
 */
const LINES_OF_A_COUNTER = 60
/** Share of numbers with a zero in front that damage explains. Judgement: one in fifty. */
const LEADING_ZEROS_BY_DAMAGE = 0.02

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
  const unclear = agreeing < 0.9 * decimals.length || common.length < COMMON_SHARE * marked.length
  const parts = unclear ? null : partsACounter(common)
  if (parts === null) {
    throw new DataError(
      'comma-ambiguous',
      `In lines such as "${common[0]!.text.trim()}" the comma may be a decimal mark or may separate two numbers.`,
      sentence`Name a readout profile that says which${way('profile')}.`,
    )
  }
  return parts ? '.' : ','
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

/**
 * Whether the digits on one side of a lone comma run like a clock or count the lines, `1200,45678`; null while they
 * may as well be those of a table that moves by one a line.
 */
function partsACounter(lines: readonly StampedLine[]): boolean | null {
  const pairs = lines.flatMap((line) => {
    const match = /^[^\d]*(\d+),(\d+)[^\d]*$/.exec(line.text)
    return match ? [{ timeS: line.timeS, left: match[1]!, right: match[2]! }] : []
  })
  const timeS = pairs.map((pair) => pair.timeS)
  const behaviours = [pairs.map((pair) => pair.left), pairs.map((pair) => pair.right)].map((column) =>
    columnBehaviour(column.map(Number), timeS),
  )
  if (behaviours.includes('clock')) return true
  if (!behaviours.includes('counter')) return false
  // Decimals begin with zeros now and then; a number by itself does so only where all its width is filled.
  const zeros = pairs.filter(({ right }) => /^0\d{1,4}$/.test(right)).length
  if (zeros > LEADING_ZEROS_BY_DAMAGE * pairs.length) return false
  const varies = new Set(pairs.map(({ right }) => right)).size > 2
  return varies && pairs.length >= LINES_OF_A_COUNTER ? true : null
}

function mostFrequent(texts: readonly string[]): string | undefined {
  const counts = new Map<string, number>()
  for (const text of texts) counts.set(text, (counts.get(text) ?? 0) + 1)
  return [...counts].sort((a, b) => b[1] - a[1])[0]?.[0]
}
