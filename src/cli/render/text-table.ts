import { PRINTED_WIDTH, wrapLine } from '../../text/index.js'

/** One column of a text table. */
interface Column {
  readonly title: string
  readonly align: 'left' | 'right'
}

/** The cells of a row, and what is said under it in whole sentences. */
interface RowWithNote {
  readonly cells: readonly string[]
  readonly note: string | null
}

/** A line across all columns, over the rows that belong to it. */
interface Heading {
  readonly heading: string
}

/** How far a note under a row is set in. */
const NOTE_INDENT = 8

/**
 * Lays rows out in columns under their titles, two spaces apart, within the printed width: titles are broken first, then
 * the text of left-aligned columns, the widest first, and never a number.
 */
export function textTable(
  columns: readonly Column[],
  rows: readonly (readonly string[] | RowWithNote | Heading)[],
): string {
  const cellsOf = (row: readonly string[] | RowWithNote) => ('cells' in row ? row.cells : row)
  const widths = columnWidths(
    columns,
    rows.flatMap((row) => ('heading' in row ? [] : [cellsOf(row)])),
  )
  const layOut = (cells: readonly string[]): string[] => {
    const parts = columns.map((_, i) => wrapLine(cells[i] ?? '', widths[i]!, 0))
    const height = Math.max(...parts.map((lines) => lines.length))
    return Array.from({ length: height }, (_, line) =>
      columns
        .map(({ align }, i) => {
          const part = parts[i]![line] ?? ''
          return align === 'right' ? part.padStart(widths[i]!) : part.padEnd(widths[i]!)
        })
        .join('  ')
        .trimEnd(),
    )
  }
  const linesOf = (row: readonly string[] | RowWithNote | Heading): string[] => {
    if ('heading' in row) return ['', ...wrapLine(row.heading, PRINTED_WIDTH, 2)]
    const note = 'cells' in row ? row.note : null
    return [
      ...layOut(cellsOf(row)),
      ...(note === null ? [] : wrapLine(' '.repeat(NOTE_INDENT) + note, PRINTED_WIDTH, NOTE_INDENT)),
    ]
  }
  return [
    ...layOut(columns.map(({ title }) => title)),
    widths.map((one) => '─'.repeat(one)).join('  '),
    ...rows.flatMap(linesOf),
  ].join('\n')
}

/** As wide as the content where there is room, else as narrow as it has to be. */
function columnWidths(columns: readonly Column[], rows: readonly (readonly string[])[]): number[] {
  const longest = (texts: readonly string[]) => Math.max(0, ...texts.map((text) => text.length))
  const words = (text: string) => wrapLine(text, 1, 0)
  const cells = columns.map((_, i) => rows.map((row) => row[i] ?? ''))
  const widths = columns.map(({ title }, i) => Math.max(title.length, longest(cells[i]!)))
  const excess = () => widths.reduce((sum, one) => sum + one, 2 * (columns.length - 1)) - PRINTED_WIDTH
  const shrink = (i: number, least: number) => {
    widths[i] = Math.max(Math.min(widths[i]!, least), widths[i]! - Math.max(0, excess()))
  }
  const least = columns.map(({ title, align }, i) =>
    Math.max(longest(words(title)), longest(align === 'right' ? cells[i]! : cells[i]!.flatMap(words))),
  )
  for (const i of columns.keys()) shrink(i, Math.max(longest(words(columns[i]!.title)), longest(cells[i]!)))
  const byWidth = [...columns.keys()].sort((a, b) => widths[b]! - widths[a]!)
  for (const i of byWidth) shrink(i, least[i]!)
  return widths
}
