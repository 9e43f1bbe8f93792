/** Letters and digits that tell the runs of a machine apart: of 32^6 endings two of a thousand runs hardly ever agree. */
const SHOWN = 6

/**
 * The end of an id, by which it is shown and may be named. The beginning is a time (ULID), alike in runs of one session.
 *
 * @example shortId('01M8ANFJ5ST9J2SEHZJ2Z1CZQ8') // 'Z1CZQ8'
 */
export function shortId(id: string): string {
  return id.slice(-SHOWN)
}
