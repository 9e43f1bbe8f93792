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
  const dialsOff = Float64Array.from(draws, ({ noise, again }) => noise.dialReset * again.dial)
  const feedFactors = Float64Array.from(draws, ({ noise, again }) =>
    Math.exp(Math.sqrt(noise.runRelative ** 2 + aheadVariance) * again.run),
  )
  const levels = Float64Array.from(draws, ({ again }) => Math.exp(Math.sqrt(levelVariance) * again.level))
  const read: Reading = {
    grid,
    atPlaces: feedsAtPlaces(draws, grid.length),
    dialsOff,
    feedFactors,
    levels,
    from: new Int32Array(count),
    feeds: new Array<number>(count).fill(0),
    next: new Array<number>(count).fill(0),
  }
  const { feeds, next } = read
  return grid.map((dial, i) => {
    readPlace(read, i)
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

/** Drawn curves on their grid, and room for what they give at one place of it; a value a curve. */
interface Reading {
  readonly grid: readonly number[]
  /** mm/min, of all curves at the first place of the grid, then at the second. */
  readonly atPlaces: Float64Array
  readonly dialsOff: Float64Array
  readonly feedFactors: Float64Array
  readonly levels: Float64Array
  /** Where along the grid each curve is read for its next setting; it only moves on. */
  readonly from: Int32Array
  /** What is read: the feed at the place, and that of the next setting, mm/min. */
  readonly feeds: number[]
  readonly next: number[]
}

/** The feeds of curves, place after place: read so, they lie side by side, and the processor need not wait for each. */
function feedsAtPlaces(draws: readonly CurveDraw[], places: number): Float64Array {
  const count = draws.length
  const atPlaces = new Float64Array(count * places)
  for (let k = 0; k < count; k++) {
    const { feedsMmPerMin } = draws[k]!
    for (let i = 0, at = k; i < places; i++, at += count) atPlaces[at] = feedsMmPerMin[i]!
  }
  return atPlaces
}

/** Reads all curves at grid place `i`: on the straight line between its neighbours for a next setting, never negative. */
function readPlace(
  { grid, atPlaces, dialsOff, feedFactors, levels, from, feeds, next }: Reading,
  i: number,
): void {
  const count = feeds.length
  const dial = grid[i]!
  const last = grid.length - 2
  for (let k = 0, at = i * count; k < count; k++, at++) {
    const set = dial + dialsOff[k]!
    let before = from[k]!
    while (before < last && set > grid[before + 1]!) before++
    from[k] = before
    const low = atPlaces[before * count + k]!
    const slope = (atPlaces[(before + 1) * count + k]! - low) / (grid[before + 1]! - grid[before]!)
    feeds[k] = levels[k]! * atPlaces[at]!
    next[k] = levels[k]! * Math.max(0, low + slope * (set - grid[before]!)) * feedFactors[k]!
  }
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
