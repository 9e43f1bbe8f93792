import type { CurveDraw } from './curve-draws.js'
import type { CurvePoint } from './feed-table.js'
import { seededNormal } from './seeded-normal.js'

/** Steps of the even part of a curve's grid: 101 places. */
const GRID_STEPS = 100

/** An even place this near to a mark, share of the range, is the mark but for rounding. */
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
 * @param seed for the settings; the same seed gives the same bands
 */
export function curveBands(draws: readonly CurveDraw[], grid: readonly number[], seed: number): CurvePoint[] {
  const normal = seededNormal(~seed)
  const settings = draws.map(({ feedsMmPerMin, noise }) => ({
    feedsMmPerMin,
    dialOff: noise.dialReset * normal(),
    feedFactor: Math.exp(noise.runRelative * normal()),
  }))
  return grid.map((dial, i) => {
    const feeds = Float64Array.from(draws, (draw) => draw.feedsMmPerMin[i]!).sort()
    const next = Float64Array.from(
      settings,
      (set) => feedAlong(grid, set.feedsMmPerMin, dial + set.dialOff, i) * set.feedFactor,
    ).sort()
    return {
      dial,
      feedMmPerMin: sortedQuantile(feeds, 0.5),
      standardUncertaintyMmPerMin: standardDeviation(feeds),
      interval95: [sortedQuantile(feeds, 0.025), sortedQuantile(feeds, 0.975)],
      nextSetting95: [sortedQuantile(next, 0.025), sortedQuantile(next, 0.975)],
    }
  })
}

/** Quantile of sorted values, straight between neighbours (R's type 7). */
function sortedQuantile(sorted: Float64Array, p: number): number {
  const place = p * (sorted.length - 1)
  const below = Math.floor(place)
  const above = Math.min(below + 1, sorted.length - 1)
  return sorted[below]! + (place - below) * (sorted[above]! - sorted[below]!)
}

function standardDeviation(values: Float64Array): number {
  const mean = values.reduce((sum, value) => sum + value, 0) / values.length
  return Math.sqrt(values.reduce((sum, value) => sum + (value - mean) ** 2, 0) / (values.length - 1))
}

/**
 * Feed of a drawn curve at `dial`: straight between grid places and on past its ends, never negative.
 * @param near a grid place to start looking from
 */
function feedAlong(grid: readonly number[], feeds: Float64Array, dial: number, near: number): number {
  const last = grid.length - 1
  let i = Math.min(near, last - 1)
  while (i > 0 && dial < grid[i]!) i--
  while (i < last - 1 && dial > grid[i + 1]!) i++
  const slope = (feeds[i + 1]! - feeds[i]!) / (grid[i + 1]! - grid[i]!)
  return Math.max(0, feeds[i]! + slope * (dial - grid[i]!))
}
