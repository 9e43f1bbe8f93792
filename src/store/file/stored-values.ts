import { StoreError } from '../../errors/index.js'
import type { DialSetting } from '../measurement-types.js'

/** JSON text of a value; refuses what JSON would silently turn into null. @throws StoreError `store-value` */
export function toJson(value: unknown, what: string): string {
  const text = JSON.stringify(value, (_key, part: unknown) => {
    if (typeof part === 'number') return finite(part, what)
    return part
  })
  if (text === undefined) throw notStorable(what, value)
  return text
}

/** The number itself if it is finite. SQLite would keep NaN as NULL. @throws StoreError `store-value` */
export function finite(value: number, what: string): number {
  if (!Number.isFinite(value)) throw notStorable(what, value)
  return value
}

export function finiteOrNull(value: number | null | undefined, what: string): number | null {
  return value === null || value === undefined ? null : finite(value, what)
}

/** Columns of a dial setting. */
export function dialColumns(dial: DialSetting | null): { dial: number | null; rapid: number } {
  return dial === 'rapid'
    ? { dial: null, rapid: 1 }
    : { dial: finiteOrNull(dial, 'the dial number'), rapid: 0 }
}

function notStorable(what: string, value: unknown): StoreError {
  return new StoreError(
    'store-value',
    `${what} is ${String(value)}, which is not a number that can be kept.`,
    'Nothing was stored. Please report this with the recording it came from.',
  )
}
