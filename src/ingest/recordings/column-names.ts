import type { LengthUnit } from '../../units/index.js'

/** Units of lengths that a header may carry, by how they are written. */
const LENGTHS: Readonly<Record<string, LengthUnit>> = {
  mm: 'mm',
  in: 'in',
  inch: 'in',
  inches: 'in',
  deg: 'deg',
  degrees: 'deg',
}
/** How seconds are written, the one unit of bare times. */
const SECONDS = /^(?:s|sec|seconds)$/
/** A name, and behind it a unit in brackets. */
const WITH_UNIT = /^(.*?)\s*[([]\s*([^()[\]]*?)\s*[)\]]$/

/**
 * The name of a column in small letters, a unit of its bare numbers behind a `_`. A header that names another unit stays as
 * it is, so that no column is taken in a unit that it does not have.
 *
 * @example columnName('Distance (mm)') // 'distance_mm'
 * @example columnName('Time [s]') // 'time'
 */
export function columnName(header: string): string {
  const name = header.trim().toLowerCase()
  const [, measure, unit] = WITH_UNIT.exec(name) ?? []
  if (measure === undefined || unit === undefined) return name
  if (/^(?:t|time)$/.test(measure) && SECONDS.test(unit)) return measure
  const length = LENGTHS[unit.replace(/\.$/, '')]
  return /^(?:distance|position)$/.test(measure) && length !== undefined ? `${measure}_${length}` : name
}

/** The name of a column of `measure`, such as `position` or `distance`, among the names of a header. */
export function lengthColumn(names: readonly string[], measure: string): string | undefined {
  return names.find((name) => new RegExp(`^${measure}(?:_(?:mm|in|deg))?$`).test(name))
}

/** The unit that the name of a column of lengths says; null for the bare name. */
export function columnUnit(column: string): LengthUnit | null {
  return (column.split('_')[1] ?? null) as LengthUnit | null
}

/** What to call a column whose header has something behind a known name; null for another column. */
export function wantedColumn(header: string): string | null {
  const [, measure] = /^(dial|direction|distance|time|t|run|position)[\s_([,/].+$/i.exec(header.trim()) ?? []
  const name = measure?.toLowerCase()
  if (
    name === undefined ||
    columnName(header) === name ||
    lengthColumn([columnName(header)], name) !== undefined
  )
    return null
  if (name === 'time' || name === 't') return `"${name}", with times in s`
  if (name === 'distance' || name === 'position')
    return `"${name} (mm)" or "${name} (in)", with numbers in that unit`
  return `"${name}"`
}
