import type { CutPass } from './data/cutter-kinds.js'
import type { ChipLoadRange, ChipLoadSize } from './data/cutting-data.js'

/** A chip-load range for one cutter. */
export interface FittingChipLoad {
  readonly lowMm: number
  readonly highMm: number
  /** The share of the smallest printed size that a still smaller cutter stands, 1 where it is not smaller. */
  readonly scale: number
}

/**
 * The chip-load range of a row for a cutter of another diameter: on a straight line between two printed diameters, in
 * proportion below the smallest, which is so much weaker, and the same above the largest (common practice, no source).
 *
 * @example a row of 0.002 … 0.004 in for ½ in gives 0.001 … 0.002 in for ¼ in
 */
export function chipLoadFor(row: ChipLoadRange, diameterMm: number): FittingChipLoad {
  const after = row.sizes.find((size) => size.forDiameterMm === null || size.forDiameterMm >= diameterMm)
  const last = row.sizes.at(-1)!
  if (after === undefined) return { lowMm: last.lowMm, highMm: last.highMm, scale: 1 }
  if (after.forDiameterMm === null) return { lowMm: after.lowMm, highMm: after.highMm, scale: 1 }
  const before = row.sizes[row.sizes.indexOf(after) - 1]
  if (before === undefined) {
    const scale = diameterMm / after.forDiameterMm
    return { lowMm: after.lowMm * scale, highMm: after.highMm * scale, scale }
  }
  return { ...between(before, after, diameterMm), scale: 1 }
}

/** The chip load to start from: the middle of the range, for a finishing pass its lower end. */
export function startingChipLoadMm(
  row: ChipLoadRange,
  range: FittingChipLoad,
  pass: CutPass,
): { readonly chipLoadMm: number; readonly range: FittingChipLoad } {
  if (pass === 'roughing') return { chipLoadMm: (range.lowMm + range.highMm) / 2, range }
  if (row.finishing === null) return { chipLoadMm: range.lowMm, range }
  const { lowMm, highMm } = row.finishing
  return { chipLoadMm: (lowMm + highMm) / 2, range: { lowMm, highMm, scale: 1 } }
}

function between(
  before: ChipLoadSize,
  after: ChipLoadSize,
  diameterMm: number,
): { lowMm: number; highMm: number } {
  const from = before.forDiameterMm ?? 0
  const share = (diameterMm - from) / ((after.forDiameterMm ?? from) - from)
  return {
    lowMm: before.lowMm + share * (after.lowMm - before.lowMm),
    highMm: before.highMm + share * (after.highMm - before.highMm),
  }
}
