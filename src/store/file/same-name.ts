/** Whether two names are the same, capitals of the Latin alphabet aside: as SQLite's NOCASE compares them. */
export function isSameName(a: string, b: string): boolean {
  return folded(a) === folded(b)
}

function folded(name: string): string {
  return name.replace(/[A-Z]/g, (letter) => letter.toLowerCase())
}
