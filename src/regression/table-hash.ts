import { createHash } from 'node:crypto'
import type { FittedDirection, MethodId, RunEvidence } from './feed-table.js'

/** Digits that count: what differs beyond them is the arithmetic of another processor, not another result. */
const SIGNIFICANT_DIGITS = 9

/**
 * Fingerprint of a fitted table: SHA-256, hexadecimal, over method, the runs that went in and what came out.
 * The same runs in any order and the same method give the same hash; so anyone can check a table against its runs.
 *
 * Canonical JSON: keys in alphabetical order, no spaces, numbers rounded to nine significant digits.
 *
 * @param runs every run of the fit, both directions: all of them tell about the scatter
 */
export function tableHash(method: MethodId, runs: readonly RunEvidence[], fitted: FittedDirection): string {
  const inputs = [...runs].sort((a, b) => (a.runId < b.runId ? -1 : a.runId > b.runId ? 1 : 0))
  return createHash('sha256')
    .update(canonicalJson({ method, runs: inputs, fitted }))
    .digest('hex')
}

function canonicalJson(value: unknown): string {
  if (typeof value === 'number') return JSON.stringify(Number(value.toPrecision(SIGNIFICANT_DIGITS)))
  if (Array.isArray(value)) return `[${value.map(canonicalJson).join(',')}]`
  if (typeof value === 'object' && value !== null) {
    const entries = Object.entries(value).sort(([a], [b]) => (a < b ? -1 : 1))
    return `{${entries.map(([key, part]) => `${JSON.stringify(key)}:${canonicalJson(part)}`).join(',')}}`
  }
  return JSON.stringify(value) ?? 'null'
}
