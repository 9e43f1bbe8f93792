import { createRequire } from 'node:module'

let next: ((seedTime?: number) => string) | null = null

/** A ULID for something made at `nowIso`; ids made one after the other by one process also sort in that order. */
export function newId(nowIso: string): string {
  // Loaded at the first write: lookups make no ids.
  next ??= (createRequire(import.meta.url)('ulid') as typeof import('ulid')).monotonicFactory()
  return next(Date.parse(nowIso))
}
