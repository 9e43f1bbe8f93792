/** The name of a table without that of its database. */
export function bare(table: string): string {
  return table.replace(/^.*\./, '')
}

export function words(table: string): string {
  return table.replaceAll('_', ' ')
}

/** What a row is to a person: its table in words, and its name or id. */
export function rowName(table: string, row: object): string {
  const columns = new Map<string, unknown>(Object.entries(row))
  const known = table === 'run' ? ['id'] : ['name', 'person', 'recording_id', 'id']
  const name = known.map((column) => columns.get(column)).find(Boolean)
  return `${WORDS[table] ?? words(table)} ${String(name ?? '')}`.trimEnd()
}

/** Tables whose own name says little. */
const WORDS: Readonly<Record<string, string>> = {
  recording_piece: 'a line of recording',
  stopwatch_entry: 'the entry of recording',
  practice: 'a timing test of',
  cut_note: 'the note on a cut',
  change_log: 'entry in the history',
}
