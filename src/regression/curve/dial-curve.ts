import { quickselect } from 'simple-statistics'
import type { CurvePoint } from '../feed-table.js'
import type { CurveDraw } from './curve-draws.js'

/**
 * Steps of the even part of a curve's grid: 101 places, as many as the documented form of a table promises
 * (published in the schema of a table).
 */
const GRID_STEPS = 100

/**
 * Share of the range within which an even place is the mark but for rounding. Derived: far above rounding (1e-16),
 * far below a step (1e-2).
 */
const SAME_PLACE = 1e-6

/** 101 even places from the lowest to the highest dial, and every mark's own dial exactly. */
export function curveGrid(dials: readonly number[]): number[] {
  const low = Math.min(...dials)
  const high = Math.max(...dials)
  const even = Array.from({ length: GRID_STEPS + 1 }, (_, i) => low + ((high - low) * i) / GRID_STEPS)
  const tooNear = (high - low) * SAME_PLACE
  const between = even.filter((dial) => dials.every((mark) => Math.abs(mark - dial) > tooNear))
  return [...between, ...dials].sort((a, b) => a - b)
}

/**
 * Feed and bands at every grid dial from drawn curves: the median, the 2.5 and 97.5 % quantiles of the curves
 * (`interval95`), and those of what the next setting gives (`nextSetting95`): each curve read where its own
 * dial-reset scatter puts the dial, times its own run-to-run scatter. So a steep part widens the band by itself.
 *
 * @param aheadVariance of the logarithm of what the next run brings anew beside its scatter
 * @param levelVariance of the logarithm of a factor that all of a curve is uncertain by
 */
export function curveBands(
  draws: readonly CurveDraw[],
  grid: readonly number[],
  levelVariance = 0,
  aheadVariance = 0,
): CurvePoint[] {
  const count = draws.length
  const dialsOff = draws.map(({ noise, again }) => noise.dialReset * again.dial)
  const feedFactors = draws.map(({ noise, again }) =>
    Math.exp(Math.sqrt(noise.runRelative ** 2 + aheadVariance) * again.run),
  )
  const levels = draws.map(({ again }) => Math.exp(Math.sqrt(levelVariance) * again.level))
  // Where along the grid each curve is read for its next setting; it only moves on.
  const from = draws.map(() => 0)
  const feeds = draws.map(() => 0)
  const next = draws.map(() => 0)
  return grid.map((dial, i) => {
    for (let k = 0; k < count; k++) {
      const { feedsMmPerMin } = draws[k]!
      const set = dial + dialsOff[k]!
      while (from[k]! < grid.length - 2 && set > grid[from[k]! + 1]!) from[k] = from[k]! + 1
      feeds[k] = levels[k]! * feedsMmPerMin[i]!
      next[k] = levels[k]! * feedAlong(grid, feedsMmPerMin, set, from[k]!) * feedFactors[k]!
    }
    const [low, high] = [quantileInPlace(feeds, 0.025), quantileInPlace(feeds, 0.975)]
    return {
      dial,
      feedMmPerMin: quantileInPlace(feeds, 0.5),
      standardUncertaintyMmPerMin: standardDeviation(feeds),
      interval95: [low, high],
      // The scatter of the dial smooths a jump that few curves have; no setting is better known than its own mean.
      nextSetting95: [
        Math.min(low, quantileInPlace(next, 0.025)),
        Math.max(high, quantileInPlace(next, 0.975)),
      ],
    }
  })
}

/**
 * Quantile of values, straight between neighbours (R's type 7). They are put in another order: two of sixteen hundred are
 * found in a fifth of the time that sorting them all takes.
 */
function quantileInPlace(values: number[], p: number): number {
  const place = p * (values.length - 1)
  const below = Math.floor(place)
  quickselect(values, below)
  let above = values[below + 1] ?? values[below]!
  for (let k = below + 2; k < values.length; k++) if (values[k]! < above) above = values[k]!
  return values[below]! + (place - below) * (above - values[below]!)
}

function standardDeviation(values: readonly number[]): number {
  const count = values.length
  let sum = 0
  for (let k = 0; k < count; k++) sum += values[k]!
  const mean = sum / count
  let squares = 0
  for (let k = 0; k < count; k++) squares += (values[k]! - mean) ** 2
  return Math.sqrt(squares / (count - 1))
}

/** Feed of a drawn curve at `dial` on the straight line from grid place `from` to the next, never negative. */
function feedAlong(grid: readonly number[], feeds: Float64Array, dial: number, from: number): number {
  const slope = (feeds[from + 1]! - feeds[from]!) / (grid[from + 1]! - grid[from]!)
  return Math.max(0, feeds[from]! + slope * (dial - grid[from]!))
}
