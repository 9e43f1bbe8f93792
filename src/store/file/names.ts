/** Whether two names are the same, capitals of the Latin alphabet aside: as SQLite's NOCASE compares them. */
export function isSameName(a: string, b: string): boolean {
  return folded(a) === folded(b)
}

function folded(name: string): string {
  return name.replace(/[A-Z]/g, (letter) => letter.toLowerCase())
}

/** Whether a name shows as it is: no control characters, nothing that turns the direction of writing, no half pairs. */
export function isPlainName(name: string): boolean {
  return !/[\p{Cc}\p{Surrogate}\u202a-\u202e\u2066-\u2069]/u.test(name)
}

/** The order of names for a person, who reads numbers in them as numbers: Mill 4 before Mill 10. */
export function compareNames(a: string, b: string): number {
  return a.localeCompare(b, 'en', { numeric: true })
}
