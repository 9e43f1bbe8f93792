/** Steps of even numbers in each decade (common practice, no source). */
const EVEN_STEPS = [1, 2, 5] as const

/** A scale bent over a dial: where each value stands, for values within the range. */
interface BentScale {
  readonly range: readonly [low: number, high: number]
  /** Place of a value, in any unit that `leastApart` shares, such as degrees. */
  readonly place: (value: number) => number
  /** How near two values may stand. */
  readonly leastApart: number
}

/**
 * Even values (multiples of 1, 2 or 5 times a power of ten) that a scale can carry, rising: fine steps where the scale
 * is spread out, coarse ones where it is crowded, each stretch between two coarser values divided evenly. What is left at either
 * end, where the range cuts a stretch off, holds what fits.
 *
 * @example evenValues({ range: [1, 4], place: (value) => 10 * value, leastApart: 10 }) // [1, 2, 3, 4]
 */
export function evenValues(scale: BentScale): number[] {
  const [low, high] = scale.range
  if (!(high > low) || low < 0) return []
  const exponent = Math.ceil(Math.log10(high))
  const values = within(scale, [
    0,
    10 ** exponent,
    ...inside(scale, { from: 0, step: 1, count: 1, exponent }),
  ])
  const [first, last] = [values[0], values.at(-1)]
  if (first === undefined || last === undefined) return []
  return [...beyond(scale, first, low).reverse(), ...values, ...beyond(scale, last, high)]
}

/** Even values of at most two figures between the outermost value and the end of the range, from there outwards. */
function beyond({ place, leastApart }: BentScale, outermost: number, end: number): number[] {
  const [from, to] = outermost < end ? [outermost, end] : [end, outermost]
  const largest = Math.floor(Math.log10(to))
  for (const exponent of [largest, largest - 1]) {
    for (const step of [...EVEN_STEPS].reverse()) {
      const fitting = multiples(from, to, step, exponent).filter(
        (value) => Math.abs(place(value) - place(outermost)) >= leastApart,
      )
      const nearest = outermost < end ? fitting[0] : fitting.at(-1)
      if (nearest !== undefined)
        return [nearest, ...beyond({ place, leastApart, range: [from, to] }, nearest, end)]
    }
  }
  return []
}

/** The multiples of `step` times ten to the exponent within a range, rising. */
function multiples(from: number, to: number, step: number, exponent: number): number[] {
  const size = step * 10 ** exponent
  const first = Math.ceil(from / size)
  const count = Math.max(0, Math.floor(to / size) - first + 1)
  return Array.from({ length: count }, (_, index) => valueAt({ from: 0, step, exponent }, first + index))
}

/** `count` steps of `step` times ten to the exponent, from `from` steps on. */
interface Stretch {
  readonly from: number
  readonly step: number
  readonly count: number
  readonly exponent: number
}

function inside(scale: BentScale, stretch: Stretch): number[] {
  const [low, high] = scale.range
  const start = valueAt(stretch, 0)
  const end = valueAt(stretch, stretch.count)
  // The third condition ends it where a narrow range holds no even value.
  if (end <= low || start >= high || end - start < 1e-6 * high) return []
  for (const finer of finerSteps(stretch)) {
    const values = Array.from({ length: finer.count + 1 }, (_, index) => valueAt(finer, index))
    if (!farEnough(scale, within(scale, values))) continue
    return [
      ...values,
      ...values
        .slice(0, -1)
        .flatMap((_, index) => inside(scale, { ...finer, from: finer.from + index * finer.step, count: 1 })),
    ]
  }
  return []
}

/** The ways to divide one stretch evenly, finest first, none finer than into ten. */
function finerSteps({ from, step, exponent }: Stretch): Stretch[] {
  const width = 10 * step
  return EVEN_STEPS.flatMap((part) => [part, 10 * part])
    .filter((part) => part < width && width % part === 0 && part >= step)
    .sort((a, b) => a - b)
    .map((part) => ({ from: 10 * from, step: part, count: width / part, exponent: exponent - 1 }))
}

function valueAt({ from, step, exponent }: Omit<Stretch, 'count'>, index: number): number {
  // Through text, so that 3 tenths is 0.3 and not a little more.
  return Number(`${from + index * step}e${exponent}`)
}

function within({ range: [low, high] }: BentScale, values: readonly number[]): number[] {
  return [...new Set(values)].filter((value) => value >= low && value <= high).sort((a, b) => a - b)
}

function farEnough({ place, leastApart }: BentScale, values: readonly number[]): boolean {
  return values.every((value, index) => {
    const before = values[index - 1]
    return before === undefined || Math.abs(place(value) - place(before)) >= leastApart
  })
}
