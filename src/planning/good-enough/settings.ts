/** What of an axis says where its dial can be set. */
export interface SettableDial {
  readonly marks: readonly number[]
  readonly dialMin: number
  readonly dialMax: number
  readonly stepped: boolean
}

/**
 * Settings of a first pass at most, or one more. Judgement: they show the shape of a dial, and the gaps that want
 * a mark get one afterwards.
 */
const MOST_IN_FIRST_PASS = 11

/**
 * Settings along a dial whose marks were not named and whose whole numbers are too few or too many. Judgement.
 */
const EVEN_SETTINGS = 9
/** Whole numbers that do as settings at least. Judgement: fewer do not show a shape. */
const FEWEST_NUMBERS = 5

/**
 * Settings that the first pass goes over, rising: the marks, or the whole numbers of a dial whose marks were not named;
 * of many marks of a dial that is not stepped every second one, or fewer, with both ends. Zero is left out unless it is
 * the only one: dials stand still there.
 */
export function firstSettings({ marks, dialMin, dialMax, stepped }: SettableDial): number[] {
  const named = marks.length > 0 ? [...new Set(marks)].sort((a, b) => a - b) : numbersOf(dialMin, dialMax)
  const moving = named.length > 1 ? named.filter((dial) => dial !== 0) : named
  if (stepped || moving.length <= MOST_IN_FIRST_PASS) return moving
  const step = Math.ceil((moving.length - 1) / (MOST_IN_FIRST_PASS - 1))
  return moving.filter((_, i) => i === 0 || (moving.length - 1 - i) % step === 0)
}

function numbersOf(dialMin: number, dialMax: number): number[] {
  const from = Math.ceil(dialMin)
  const whole = Array.from({ length: Math.max(0, Math.floor(dialMax) - from + 1) }, (_, i) => from + i)
  const moving = whole.filter((dial) => dial !== 0)
  if (moving.length >= FEWEST_NUMBERS && moving.length <= MOST_IN_FIRST_PASS) return whole
  return Array.from(
    { length: EVEN_SETTINGS },
    (_, i) =>
      dialMin +
      ((dialMax - dialMin) * (i + (dialMin === 0 ? 1 : 0))) / (EVEN_SETTINGS - (dialMin === 0 ? 0 : 1)),
  )
}

/**
 * Every setting that a person can make by the dial's own numbers, rising: the marks, and half way between two of them
 * where the dial is not stepped.
 *
 * @param more other settings that were made before
 */
export function settableDials(dial: SettableDial, more: readonly number[] = []): number[] {
  const named = dial.marks.length > 0 ? [...new Set(dial.marks)].sort((a, b) => a - b) : firstSettings(dial)
  const halves = dial.stepped ? [] : named.slice(1).map((mark, i) => (named[i]! + mark) / 2)
  return [...new Set([...named, ...halves, ...more])].sort((a, b) => a - b)
}
