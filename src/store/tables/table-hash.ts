import { createRequire } from 'node:module'
import { DataError } from '../../errors/index.js'
import type { FeedTable } from '../../regression/index.js'
import { directionSign } from '../../units/index.js'

/** What a table says; names, ids, version and date are not part of it. */
export type HashedTable = Pick<FeedTable, 'direction' | 'stepped' | 'marks' | 'curve' | 'method'>

/** Digits that count: what differs beyond them is the arithmetic of another processor, not another result. */
const SIGNIFICANT_DIGITS = 9

/**
 * SHA-256 (hexadecimal) of a table's content in canonical JSON (sorted keys, numbers to nine significant digits). Run
 * ids stay out, so that the same recordings and method give the same hash in any store on any machine, and a changed
 * number shows.
 */
export function tableHash(table: HashedTable): string {
  const { direction, stepped, marks, curve, method } = table
  // Loaded only here: a lookup reads the hash and makes none.
  const { createHash } = createRequire(import.meta.url)('node:crypto') as typeof import('node:crypto')
  return createHash('sha256')
    .update(canonicalJson({ direction, stepped, marks, curve, method }))
    .digest('hex')
}

/** @throws DataError `hash-mismatch` where a table's content is not what its hash was made from */
export function refuseChanged(table: HashedTable & { readonly hash: string }): void {
  if (tableHash(table) === table.hash) return
  throw new DataError(
    'hash-mismatch',
    `The numbers of the ${directionSign(table.direction)} table are not those that its hash was made from: they have been changed since.`,
    'Export it again from the store that fitted it.',
  )
}

function canonicalJson(value: unknown): string {
  return JSON.stringify(value, (_key, part: unknown) => {
    if (typeof part === 'number') return Number(part.toPrecision(SIGNIFICANT_DIGITS))
    if (part === null || typeof part !== 'object' || Array.isArray(part)) return part
    return Object.fromEntries(Object.entries(part).sort(([a], [b]) => (a < b ? -1 : 1)))
  })
}
