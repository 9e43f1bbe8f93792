import type { LineFormat } from '../lines/line-format.js'

/** Positions looked at. Judgement: more tell nothing new about the step. */
const LOOKED_AT = 20_000
/**
 * Different positions below which they lie on some grid by chance. Derived: on a grid of two digits so many do by
 * chance once in 2^20.
 */
const FEWEST_DISTINCT = 20
/** Share of positions that must lie on a grid. Judgement: a few damaged ones must not hide it. */
const ON_GRID = 0.995
/** Multiples of the last digit that readouts count by, the coarsest first (common practice, no source). */
const MULTIPLES = [1000, 500, 250, 200, 100, 50, 25, 20, 10, 5, 2]
/** Steps of scales in mm, metric and inch, the coarsest first (common practice, no source). */
const SCALE_STEPS_MM = [0.1, 0.05, 0.0254, 0.02, 0.0127, 0.01, 0.005, 0.00254, 0.002, 0.00127, 0.001]
/**
 * Last digits that a scale's step must be at least. Derived: with less, its rounding to whole digits (a quarter of
 * a step) passes for the step itself.
 */
const TELLABLE = 4
/** Most decimals looked for where numbers drop their trailing zeros. Judgement: a picometre in mm. */
const MOST_DECIMALS = 9

/**
 * The smallest step a readout shows, mm: a multiple of its last digit where all positions lie on one
 * (a scale of 0.005 mm shown with three decimals), else the step of a scale that all positions lie on
 * within their rounding (the same scale shown in inches), else the last digit.
 *
 * @param lastDigit what one unit of the last digit is worth, mm
 */
export function positionStepMm(positionMm: Float64Array, lastDigit: number): number {
  const distinct = Array.from(new Set(positionMm.subarray(0, LOOKED_AT)))
  if (distinct.length < FEWEST_DISTINCT) return lastDigit
  const multiple = MULTIPLES.find((one) => liesOnGrid(distinct, one * lastDigit, 0.01 * lastDigit))
  if (multiple !== undefined) return multiple * lastDigit
  // Two rounded positions differ from a whole number of steps by one digit at most.
  const scale = SCALE_STEPS_MM.filter((stepMm) => stepMm >= TELLABLE * lastDigit).find((stepMm) =>
    liesOnGrid(distinct, stepMm, 1.01 * lastDigit),
  )
  return scale ?? lastDigit
}

function liesOnGrid(positions: readonly number[], stepMm: number, toleranceMm: number): boolean {
  const originMm = positions[Math.floor(positions.length / 2)]!
  const off = positions.filter((position) => {
    const steps = (position - originMm) / stepMm
    return Math.abs(steps - Math.round(steps)) * stepMm > toleranceMm
  })
  return off.length <= (1 - ON_GRID) * positions.length
}

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
