/**
 * Letters and digits of an id that are shown. Derived: of 32^6 endings two of a thousand runs agree once in 2,000
 * stores (1000²/2 over 32^6).
 */
const SHOWN = 6

/**
 * The end of an id, by which it is shown and may be named. The beginning is a time (ULID), alike in runs of one session.
 *
 * @example shortId('01M8ANFJ5ST9J2SEHZJ2Z1CZQ8') // 'Z1CZQ8'
 */
export function shortId(id: string): string {
  return id.slice(-SHOWN)
}
