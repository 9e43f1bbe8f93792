import type { CurveDraw } from './curve-draws.js'
import type { CurvePoint } from './feed-table.js'
import { seededUniform } from './seeded-normal.js'
import { normalQuantile } from './student-t.js'

const GRID_STEPS = 100

/** 101 even places from the lowest to the highest dial, and every mark's own dial exactly. */
export function curveGrid(dials: readonly number[]): number[] {
  const low = Math.min(...dials)
  const high = Math.max(...dials)
  const even = Array.from({ length: GRID_STEPS + 1 }, (_, i) => low + ((high - low) * i) / GRID_STEPS)
  const tooNear = (high - low) * 1e-6
  const between = even.filter((dial) => dials.every((mark) => Math.abs(mark - dial) > tooNear))
  return [...between, ...dials].sort((a, b) => a - b)
}

function sortedQuantile(sorted: Float64Array, p: number): number {
  const place = p * (sorted.length - 1)
  const below = Math.floor(place)
  const above = Math.min(below + 1, sorted.length - 1)
  return sorted[below]! + (place - below) * (sorted[above]! - sorted[below]!)
}

export function curveBands(draws: readonly CurveDraw[], grid: readonly number[], seed: number): CurvePoint[] {
  const uniform = seededUniform(seed)
  const count = draws.length
  const shuffle = Array.from({ length: count }, (_, i) => i)
  for (let i = count - 1; i > 0; i--) {
    const j = Math.floor(uniform() * (i + 1))
    ;[shuffle[i], shuffle[j]] = [shuffle[j]!, shuffle[i]!]
  }
  const golden1 = 0.7548776662466927
  const golden2 = 0.5698402909980532
  const settings = shuffle.map((k) => ({
    set: normalQuantile(((k + 0.5) * golden1) % 1),
    run: normalQuantile(((k + 0.5) * golden2) % 1),
  }))
  const column = new Float64Array(count)
  return grid.map((dial, i) => {
    let mean = 0
    for (let k = 0; k < count; k++) {
      column[k] = draws[k]!.feedsMmPerMin[i]!
      mean += column[k]! / count
    }
    let variance = 0
    for (let k = 0; k < count; k++) variance += (column[k]! - mean) ** 2 / (count - 1)
    column.sort()
    const interval95 = [sortedQuantile(column, 0.025), sortedQuantile(column, 0.975)] as const
    const feedMmPerMin = sortedQuantile(column, 0.5)
    for (let k = 0; k < count; k++) {
      const { noise, feedsMmPerMin } = draws[k]!
      const set = dial + noise.dialReset * settings[k]!.set
      column[k] = along(grid, feedsMmPerMin, set, i) * Math.exp(noise.runRelative * settings[k]!.run)
    }
    column.sort()
    const nextSetting95 = [sortedQuantile(column, 0.025), sortedQuantile(column, 0.975)] as const
    return { dial, feedMmPerMin, standardUncertaintyMmPerMin: Math.sqrt(variance), interval95, nextSetting95 }
  })
}

/** Feed of a drawn curve at `dial`, straight between grid places and past its ends, never negative. `near` is a hint. */
function along(grid: readonly number[], feeds: Float64Array, dial: number, near: number): number {
  const last = grid.length - 1
  let i = Math.min(near, last - 1)
  while (i > 0 && dial < grid[i]!) i--
  while (i < last - 1 && dial > grid[i + 1]!) i++
  const slope = (feeds[i + 1]! - feeds[i]!) / (grid[i + 1]! - grid[i]!)
  return Math.max(0, feeds[i]! + slope * (dial - grid[i]!))
}
