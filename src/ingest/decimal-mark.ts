import { DataError } from '../errors/index.js'
import { columnBehaviour } from './clock-column.js'
import type { StampedLine } from './stamped-line.js'

/**
 * Finds the decimal mark of a stream. Numbers with points settle it. A comma counts as a decimal mark
 * only where it can be nothing else: one comma a number, always the same count of digits behind it,
 * and the digits around it neither tell the time nor count the lines.
 *
 * @param wholeNumbers the numbers are known to be counts, so that every comma parts two of them
 * @throws DataError `comma-ambiguous`
 */
export function findDecimalMark(lines: readonly StampedLine[], wholeNumbers: boolean): '.' | ',' {
  const commas = lines.filter((line) => /\d,\d/.test(line.text))
  const points = lines.filter((line) => /\d\.\d/.test(line.text))
  if (wholeNumbers || points.length >= commas.length || commas.length < lines.length / 2) return '.'
  const groups = commas.map((line) => line.text.match(/\d+(?:,\d+)+/g) ?? [])
  if (groups.filter((group) => group.some((text) => /,.*,/.test(text))).length > groups.length / 2) return '.'
  const decimals = groups.map((group) => group.map((text) => text.split(',')[1]!.length).join(' '))
  const usual = mostFrequent(decimals)
  if (decimals.filter((text) => text === usual).length < 0.9 * decimals.length) {
    throw new DataError(
      'comma-ambiguous',
      `In lines such as "${commas[0]!.text.trim()}" the comma may be a decimal mark or part two numbers.`,
      'Name a readout profile that says it, with --readout.',
    )
  }
  return partsACounter(commas) ? '.' : ','
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
