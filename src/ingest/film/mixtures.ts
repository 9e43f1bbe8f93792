import type { FrameReading } from './read-figures.js'

/** Share of the frames in which a place has to be uncertain before its figures are suspected. Judgement: a third. */
const MOST_UNCERTAIN = 0.3
/**
 * Share of 8 among the figures of a place that says that they are mixtures, and how many there must be. Derived: one figure
 * of ten is an 8, so that four of ten are far too many.
 */
const TOO_MANY = 0.4
const LEAST_SEEN = 3

/**
 * Leaves out the numbers with an 8 in a place where the display changes faster than its bars go dark: several figures one
 * over the other show all bars lit, for as many frames as they take.
 */
export function withoutMixtures(readings: readonly FrameReading[]): readonly FrameReading[] {
  const places = readings[0]?.places.length ?? 0
  const mixed = Array.from({ length: places }, (_, place) => isMixed(readings, place))
  if (!mixed.includes(true)) return readings
  return readings.map((reading) =>
    reading.places.some((_, place) => mixed[place] && valueAt(reading, place) === 8)
      ? { ...reading, count: null }
      : reading,
  )
}

function isMixed(readings: readonly FrameReading[], place: number): boolean {
  const values = readings.map((reading) => valueAt(reading, place))
  if (values.filter((value) => value === null).length <= MOST_UNCERTAIN * values.length) return false
  // As often as the place came to show it, for two frames or longer: a rest is one figure.
  const shown: number[] = []
  for (const [index, value] of values.entries()) {
    if (value === null || value !== values[index - 1]) continue
    if (values[index - 2] !== value) shown.push(value)
  }
  const eights = shown.filter((value) => value === 8).length
  return eights >= LEAST_SEEN && eights > TOO_MANY * shown.length
}

/** The figure of a place; null where there is none that is certain. */
function valueAt({ places }: FrameReading, place: number): number | null {
  const figure = places[place] ?? null
  return figure === null || typeof figure === 'string' ? null : figure.value
}
