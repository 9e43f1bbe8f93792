/** What the program printed with its lines put together that were broken to keep within 80 columns. */
export function unbroken(text: string): string {
  return text.replace(/\n\s+/g, ' ')
}
