import type { Stretch } from '../phases/motions.js'
import type { LevelPoints } from './level-points.js'

interface SplitOptions {
  /** A level lasts so long at least, s. */
  readonly leastS: number
  /**
   * What a further level must better the sum of squares by, in variances: two parameters and two edges more, found
   * anywhere, better it by chance by 25 once in some thousand recordings.
   */
  readonly perLevel: number
}

/**
 * What a point costs that belongs to no level, in variances. Judgement: more than one of a level (1), less than
 * one off its line.
 */
const OUTSIDE = 4
/**
 * Times what it would cost outside, from which on a stretch is no level, nor is any longer one. Judgement: it
 * saves time alone.
 */
const HOPELESS = 6

/**
 * Parts a motion into levels, stretches of one speed, and what lies between them: the parting of least cost, a level
 * costing its squared residuals about its own line over their variance and `perLevel` more, a point between levels
 * costing `OUTSIDE` (optimal partitioning: Jackson et al., IEEE Signal Processing Letters 12 (2005) 105).
 *
 * @returns levels in order; `from` inclusive, `to` exclusive, indices of the points
 */
export function splitLevels(points: LevelPoints, { leastS, perLevel }: SplitOptions): Stretch[] {
  const n = points.timeS.length
  const squares = runningSums(points)
  const best = new Float64Array(n + 1)
  const cameFrom = new Int32Array(n + 1)
  best.fill(Number.POSITIVE_INFINITY)
  best[0] = 0
  // From the left, so that what ends at a point is settled before anything begins there.
  for (let i = 0; i < n; i++) {
    if (best[i]! + OUTSIDE < best[i + 1]!) {
      best[i + 1] = best[i]! + OUTSIDE
      cameFrom[i + 1] = i
    }
    for (let j = i + 2; j <= n; j++) {
      if (points.timeS[j - 1]! - points.timeS[i]! < leastS) continue
      const cost = squares(i, j)
      if (cost > HOPELESS * OUTSIDE * (j - i) + perLevel) break
      if (best[i]! + cost + perLevel < best[j]!) {
        best[j] = best[i]! + cost + perLevel
        cameFrom[j] = i
      }
    }
  }
  const levels: Stretch[] = []
  for (let to = n; to > 0; to = cameFrom[to]!) {
    if (to - cameFrom[to]! > 1) levels.unshift({ from: cameFrom[to]!, to })
  }
  return levels
}

/** Weighted squared residuals about the line through the points from one to another, in constant time. */
function runningSums({ timeS, positionMm, weight }: LevelPoints): (from: number, to: number) => number {
  const n = timeS.length
  const sums = Array.from({ length: 6 }, () => new Float64Array(n + 1))
  const [w, t, x, tt, tx, xx] = sums as [
    Float64Array,
    Float64Array,
    Float64Array,
    Float64Array,
    Float64Array,
    Float64Array,
  ]
  // About the mean line, so that the squares stay small.
  const speed = (positionMm[n - 1]! - positionMm[0]!) / (timeS[n - 1]! - timeS[0]!)
  const middleS = timeS[n - 1]! / 2
  for (let i = 0; i < n; i++) {
    const at = timeS[i]! - middleS
    const off = positionMm[i]! - speed * timeS[i]!
    w[i + 1] = w[i]! + weight[i]!
    t[i + 1] = t[i]! + weight[i]! * at
    x[i + 1] = x[i]! + weight[i]! * off
    tt[i + 1] = tt[i]! + weight[i]! * at * at
    tx[i + 1] = tx[i]! + weight[i]! * at * off
    xx[i + 1] = xx[i]! + weight[i]! * off * off
  }
  return (from, to) => {
    const sw = w[to]! - w[from]!
    const st = t[to]! - t[from]!
    const sx = x[to]! - x[from]!
    const vt = tt[to]! - tt[from]! - (st * st) / sw
    const vtx = tx[to]! - tx[from]! - (st * sx) / sw
    const vx = xx[to]! - xx[from]! - (sx * sx) / sw
    return Math.max(0, vt > 0 ? vx - (vtx * vtx) / vt : vx)
  }
}
