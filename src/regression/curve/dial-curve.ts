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
  const m = grid.length
  // One row a grid dial, so that its values lie together for sorting.
  const feeds = new Float64Array(m * count)
  const next = new Float64Array(m * count)
  draws.forEach(({ feedsMmPerMin, noise, again }, k) => {
    const dialOff = noise.dialReset * again.dial
    const feedFactor = Math.exp(Math.sqrt(noise.runRelative ** 2 + aheadVariance) * again.run)
    const level = Math.exp(Math.sqrt(levelVariance) * again.level)
    let from = 0
    for (let i = 0; i < m; i++) {
      const dial = grid[i]! + dialOff
      while (from < m - 2 && dial > grid[from + 1]!) from++
      feeds[i * count + k] = level * feedsMmPerMin[i]!
      next[i * count + k] = level * feedAlong(grid, feedsMmPerMin, dial, from) * feedFactor
    }
  })
  return grid.map((dial, i) => {
    const sorted = feeds.subarray(i * count, (i + 1) * count).sort()
    const sortedNext = next.subarray(i * count, (i + 1) * count).sort()
    const [low, high] = [sortedQuantile(sorted, 0.025), sortedQuantile(sorted, 0.975)]
    return {
      dial,
      feedMmPerMin: sortedQuantile(sorted, 0.5),
      standardUncertaintyMmPerMin: standardDeviation(sorted),
      interval95: [low, high],
      // The scatter of the dial smooths a jump that few curves have; no setting is better known than its own mean.
      nextSetting95: [
        Math.min(low, sortedQuantile(sortedNext, 0.025)),
        Math.max(high, sortedQuantile(sortedNext, 0.975)),
      ],
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
