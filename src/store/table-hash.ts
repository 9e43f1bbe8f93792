import { createRequire } from 'node:module'
import type { FeedTable } from '../regression/index.js'

/** What a table says and from what; names, version and date are not part of it. */
export type HashedTable = Pick<FeedTable, 'direction' | 'stepped' | 'marks' | 'curve' | 'runIds' | 'method'>

/**
 * SHA-256 (hexadecimal) of a table's content in canonical JSON (RFC 8785: sorted keys, ECMAScript numbers), so that
 * the same runs and method give the same hash everywhere and a changed digit shows.
 */
export function tableHash(table: HashedTable): string {
  const { direction, stepped, marks, curve, runIds, method } = table
  // Loaded only here: a lookup reads the hash and makes none.
  const { createHash } = createRequire(import.meta.url)('node:crypto') as typeof import('node:crypto')
  return createHash('sha256')
    .update(canonicalJson({ direction, stepped, marks, curve, runIds, method }))
    .digest('hex')
}

function canonicalJson(value: unknown): string {
  return JSON.stringify(value, (_key, part: unknown) => {
    if (part === null || typeof part !== 'object' || Array.isArray(part)) return part
    return Object.fromEntries(Object.entries(part).sort(([a], [b]) => (a < b ? -1 : 1)))
  })
}
