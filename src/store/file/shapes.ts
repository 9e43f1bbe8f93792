/** Says whether a value read from JSON has the shape of `T`; fields beside those named may be there. */
export type Shape<T> = (value: unknown) => value is T

export const isNumber: Shape<number> = (value): value is number => Number.isFinite(value)
export const isText: Shape<string> = (value): value is string => typeof value === 'string'
export const isCount: Shape<number> = (value): value is number =>
  Number.isSafeInteger(value) && Number(value) >= 0
/** Any JSON at all. */
export const isAnything: Shape<unknown> = (_value): _value is unknown => true

export function orNull<T>(shape: Shape<T>): Shape<T | null> {
  return (value): value is T | null => value === null || shape(value)
}

/** A field that may be missing. */
export function orMissing<T>(shape: Shape<T>): Shape<T | undefined> {
  return (value): value is T | undefined => value === undefined || shape(value)
}

export function oneOf<const T extends string | number>(...known: readonly T[]): Shape<T> {
  return (value): value is T => known.some((one) => one === value)
}

export function listOf<T>(shape: Shape<T>): Shape<T[]> {
  return (value): value is T[] => Array.isArray(value) && value.every((one) => shape(one))
}

/** A list of exactly these. */
export function tupleOf<T extends readonly unknown[]>(...shapes: { [I in keyof T]: Shape<T[I]> }): Shape<T> {
  return (value): value is T =>
    Array.isArray(value) &&
    value.length === shapes.length &&
    shapes.every((shape, index) => shape(value[index]))
}

export function recordOf<T>(shape: Shape<T>): Shape<Record<string, T>> {
  return (value): value is Record<string, T> =>
    isObject(value) && Object.values(value).every((one) => shape(one))
}

export function objectOf<T extends object>(fields: { [K in keyof T]-?: Shape<T[K]> }): Shape<T> {
  const known = Object.entries<Shape<unknown>>(fields as Record<string, Shape<unknown>>)
  return (value): value is T => isObject(value) && known.every(([name, shape]) => shape(value[name]))
}

function isObject(value: unknown): value is Record<string, unknown> {
  return typeof value === 'object' && value !== null && !Array.isArray(value)
}
