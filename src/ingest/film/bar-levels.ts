import { SEGMENTS } from './figures.js'
import type { GreyFrame } from './grey-frame.js'
import { meanAt, type PlacePoints } from './placement.js'

/** Whether the bars are brighter than the ground, as on a lit display, or darker, as on a liquid-crystal one. */
export type Polarity = 1 | -1

/** Brightness of the bars of one place over the ground beside each. */
export interface BarLevels {
  /** Contrast of each bar, grey levels; positive where it is lit. */
  readonly contrast: Float64Array
  /** Ground beside each bar, grey levels of the picture. */
  readonly ground: Float64Array
}

/** For each bar the fields (0 above, 1 below) and the side gaps (left above, left below, right above, right below) beside it. */
const BESIDE: readonly { readonly fields: readonly number[]; readonly gaps: readonly number[] }[] = [
  { fields: [0], gaps: [] },
  { fields: [0], gaps: [2] },
  { fields: [1], gaps: [3] },
  { fields: [1], gaps: [] },
  { fields: [1], gaps: [1] },
  { fields: [0], gaps: [0] },
  { fields: [0, 1], gaps: [] },
]

/**
 * Measures the bars of a place. The ground is taken right beside each bar, so that light that falls on one side of the
 * display does not count as a lit bar.
 */
export function barLevels(frame: GreyFrame, place: PlacePoints, polarity: Polarity): BarLevels {
  const fields = place.fields.map((points) => meanAt(frame, points))
  const gaps = place.gaps.map((points) => meanAt(frame, points))
  const contrast = new Float64Array(SEGMENTS)
  const ground = new Float64Array(SEGMENTS)
  for (let bar = 0; bar < SEGMENTS; bar += 1) {
    const beside = BESIDE[bar]!
    let sum = 0
    for (const field of beside.fields) sum += fields[field]!
    for (const gap of beside.gaps) sum += gaps[gap]!
    ground[bar] = sum / (beside.fields.length + beside.gaps.length)
    contrast[bar] = polarity * (meanAt(frame, place.bars[bar]!) - ground[bar]!)
  }
  return { contrast, ground }
}

/**
 * Contrast of a lit bar over all places of a frame, grey levels: the mean of the tenth that stands out most. Two bars of
 * seven are lit in the figure with the fewest, and half the places may be blank.
 * @param places contrast of the bars of each
 */
export function litContrast(places: readonly Float64Array[]): number {
  const all = new Float64Array(places.length * SEGMENTS)
  places.forEach((contrast, place) => {
    all.set(contrast, place * SEGMENTS)
  })
  const top = all.sort().subarray(-Math.max(2, Math.round(all.length / 10)))
  return top.reduce((sum, one) => sum + one, 0) / top.length
}

/** Points side by side whose mean is looked at: about as wide as a bar. */
const AS_WIDE_AS_A_BAR = 3

/**
 * The most that stands out anywhere in a place, grey levels: where it is little, the place is blank, even if the bars were
 * looked for a little beside where they are.
 *
 * @param through lines across the place, as `linesThrough` gives them
 */
export function mostContrast(frame: GreyFrame, through: readonly Float64Array[], polarity: Polarity): number {
  const lines = through.map((points) =>
    Array.from({ length: points.length / 2 - AS_WIDE_AS_A_BAR + 1 }, (_, i) =>
      meanAt(frame, points.subarray(2 * i, 2 * (i + AS_WIDE_AS_A_BAR))),
    ),
  )
  const all = lines.flat().sort((a, b) => a - b)
  const ground = all[Math.floor(all.length / 2)]!
  return polarity === 1 ? all.at(-1)! - ground : ground - all[0]!
}
