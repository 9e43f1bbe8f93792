import type { LineFormat } from './line-format.js'

/** Positions looked at; more tell nothing new about the step. */
const LOOKED_AT = 20_000
/** Multiples of the last digit that scales move by. */
const MULTIPLES = [1000, 500, 250, 200, 100, 50, 25, 20, 10, 5, 2]
/** Share of positions that must lie on a grid, so that a few damaged ones do not hide it. */
const ON_GRID = 0.995
/** A gap this many times wider than chance would leave is the readout's step. */
const BEYOND_CHANCE = 5

/**
 * The smallest step a readout shows, mm: a multiple of its last digit where all positions lie on one
 * (a scale of 0.005 mm shown with three decimals), else the smallest difference between positions
 * where that is wider than chance leaves it (a scale of 0.005 mm shown in inches), else the last digit.
 *
 * @param lastDigitMm what one unit of the last digit is worth, mm
 */
export function positionStepMm(positionMm: Float64Array, lastDigitMm: number): number {
  const looked = positionMm.subarray(0, LOOKED_AT)
  const sorted = Array.from(new Set(looked)).sort((a, b) => a - b)
  if (sorted.length < 3) return lastDigitMm
  const grid = MULTIPLES.find((multiple) => liesOnGrid(sorted, multiple * lastDigitMm))
  if (grid !== undefined) return grid * lastDigitMm
  let smallestMm = Number.POSITIVE_INFINITY
  for (let i = 1; i < sorted.length; i += 1) smallestMm = Math.min(smallestMm, sorted[i]! - sorted[i - 1]!)
  const rangeMm = sorted.at(-1)! - sorted[0]!
  const byChanceMm = rangeMm / sorted.length ** 2
  return smallestMm > BEYOND_CHANCE * byChanceMm ? Math.max(smallestMm, lastDigitMm) : lastDigitMm
}

function liesOnGrid(sorted: readonly number[], stepMm: number): boolean {
  const originMm = sorted[Math.floor(sorted.length / 2)]!
  const off = sorted.filter((position) => {
    const steps = (position - originMm) / stepMm
    return Math.abs(steps - Math.round(steps)) > 0.01
  })
  return sorted.length >= 20 && off.length <= (1 - ON_GRID) * sorted.length
}

/** Most decimals looked for where numbers drop their trailing zeros. */
const MOST_DECIMALS = 9

/** What one unit of the last digit is worth, mm; found from the positions where trailing zeros are dropped. */
export function lastDigitMm(format: LineFormat, positionMm: Float64Array): number {
  const digits = format.shapes.map(({ mmPerNumber, decimals }) => {
    return mmPerNumber * 10 ** -(decimals ?? decimalsOf(positionMm.subarray(0, LOOKED_AT), mmPerNumber))
  })
  return Math.min(...digits)
}

function decimalsOf(positionMm: Float64Array, mmPerNumber: number): number {
  for (let decimals = 0; decimals < MOST_DECIMALS; decimals += 1) {
    const scale = 10 ** decimals / mmPerNumber
    const whole = positionMm.every(
      (position) => Math.abs(position * scale - Math.round(position * scale)) < 1e-6,
    )
    if (whole) return decimals
  }
  return MOST_DECIMALS
}
