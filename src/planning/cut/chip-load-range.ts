import type { ChipLoadRange } from './cutting-data.js'

/** A chip-load range for one cutter. */
export interface FittingChipLoad {
  readonly lowMm: number
  readonly highMm: number
  /** The share of the row's own range that a smaller cutter stands, 1 where it is not smaller. */
  readonly scale: number
}

/**
 * The chip-load range of a row for a cutter of another diameter: in proportion for a smaller one, which is so much
 * weaker, and the same for a larger one (common practice, no source).
 *
 * @example a row of 0.002 … 0.004 in for ½ in gives 0.001 … 0.002 in for ¼ in
 */
export function chipLoadFor(row: ChipLoadRange, diameterMm: number): FittingChipLoad {
  const scale = row.forDiameterMm === null ? 1 : Math.min(1, diameterMm / row.forDiameterMm)
  return { lowMm: row.lowMm * scale, highMm: row.highMm * scale, scale }
}
