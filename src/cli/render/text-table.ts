/** One column of a text table. */
export interface Column {
  readonly title: string
  readonly align: 'left' | 'right'
}

/** Lays rows out in columns under their titles, two spaces apart, no line longer than its content. */
export function textTable(columns: readonly Column[], rows: readonly (readonly string[])[]): string {
  const widths = columns.map((column, index) =>
    Math.max(column.title.length, ...rows.map((row) => (row[index] ?? '').length)),
  )
  const line = (cells: readonly string[]): string =>
    cells
      .map((cell, index) => {
        const width = widths[index] ?? 0
        return columns[index]?.align === 'right' ? cell.padStart(width) : cell.padEnd(width)
      })
      .join('  ')
      .trimEnd()
  const rule = widths.map((width) => '─'.repeat(width)).join('  ')
  return [line(columns.map((column) => column.title)), rule, ...rows.map(line)].join('\n')
}
