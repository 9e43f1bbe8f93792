// Straight from the file: the page reads films too, and the whole door would bring libraries that it does not need.
import { factorInPlace, solveLowerInPlace, solveUpperInPlace } from '../../../numbers/cholesky.js'
import type { Moved } from '../grey-frame.js'
import type { Picture, Region } from './picture.js'

/** Where a region was found in a picture. */
interface Found {
  readonly moved: Moved
  /** Correlation with the reference, 1 at best. */
  readonly likeness: number
}

/** Steps of one search. Judgement: a search that has not come to rest by then does not. */
const MOST_STEPS = 12
/** A step below which a search rests, px. Judgement: a hundredth of the thickness of a bar. */
const LEAST_STEP = 0.04
/** Share of the region that must lie inside the picture. Judgement: half of the display tells where the whole is. */
const LEAST_INSIDE = 0.5
/**
 * Difference from the reference, in mean differences, at which a pixel counts half. Judgement: where a digit changed the
 * difference is several times the usual one, and says nothing of where the display lies.
 */
const COUNTS_HALF = 1.5
/**
 * How firmly the two ends hold together, as a share of what the pixels say of one. Judgement: noise then hardly turns the
 * display, and a hand still does.
 */
const HELD_TOGETHER = 0.02
/** Every so many pixels are looked at where the picture is not made smaller. Judgement: bars are thicker. */
const EVERY_PX = 2

/**
 * Finds where a region of a reference lies in a picture, from a guess: the shifts of its left and right that make
 * the difference between the two pictures least (B. D. Lucas, T. Kanade, An iterative image registration technique, 1981,
 * eq. 5, with the gradient of the reference and the differences weighted), whatever the brightness and the contrast.
 *
 * @param scale of both pictures, 1 for full size, 2 for half
 * @returns null where the region lies outside the picture
 */
export function register(
  reference: Picture,
  picture: Picture,
  region: Region,
  { scale, start, turns }: { readonly scale: number; readonly start: Moved; readonly turns: boolean },
): Found | null {
  const moved = start.map((px) => px / scale)
  const points = regionPoints(reference, region, scale)
  const sampled = new Float32Array(points.count)
  for (let step = 0; ; step += 1) {
    const stats = sample(picture, points, moved, sampled)
    if (stats === null) return null
    if (step === MOST_STEPS) return told(moved, scale, points, sampled, stats)
    const by = stepTo(points, sampled, stats, turns)
    if (by === null) return null
    for (let i = 0; i < 4; i += 1) moved[i]! += by[i]!
    if (Math.hypot(...by) * scale < LEAST_STEP) return told(moved, scale, points, sampled, stats)
  }
}

interface RegionPoints {
  readonly count: number
  readonly x: Float32Array
  readonly y: Float32Array
  /** Where it lies between the left edge of the picture, 0, and the right one, 1. */
  readonly along: Float32Array
  readonly grey: Float32Array
  readonly slopeX: Float32Array
  readonly slopeY: Float32Array
}

function regionPoints({ width, height, grey }: Picture, region: Region, scale: number): RegionPoints {
  const left = Math.max(1, Math.floor(region.left / scale))
  const right = Math.min(width - 1, Math.ceil(region.right / scale))
  const top = Math.max(1, Math.floor(region.top / scale))
  const bottom = Math.min(height - 1, Math.ceil(region.bottom / scale))
  const every = scale === 1 ? EVERY_PX : 1
  const count =
    Math.max(0, Math.ceil((right - left) / every)) * Math.max(0, Math.ceil((bottom - top) / every))
  const made = (): Float32Array => new Float32Array(count)
  const [x, y, along, level, slopeX, slopeY] = [made(), made(), made(), made(), made(), made()]
  let i = 0
  for (let row = top; row < bottom; row += every)
    for (let column = left; column < right; column += every) {
      const at = row * width + column
      x[i] = column
      y[i] = row
      along[i] = (column + 0.5) / width
      level[i] = grey[at]!
      slopeX[i] = (grey[at + 1]! - grey[at - 1]!) / 2
      slopeY[i] = (grey[at + width]! - grey[at - width]!) / 2
      i += 1
    }
  return { count, x, y, along, grey: level, slopeX, slopeY }
}

/** Means and spreads of the reference and of the picture, over the pixels that lie inside both. */
interface Stats {
  readonly meanReference: number
  readonly meanPicture: number
  readonly spreadReference: number
  readonly spreadPicture: number
}

/** Brightness of the picture at the moved points, NaN outside it. */
function sample(
  { width, height, grey }: Picture,
  points: RegionPoints,
  [leftX, leftY, rightX, rightY]: readonly number[],
  sampled: Float32Array,
): Stats | null {
  let inside = 0
  let [sumR, sumP, sumRR, sumPP] = [0, 0, 0, 0]
  for (let i = 0; i < points.count; i += 1) {
    const along = points.along[i]!
    const x = points.x[i]! + leftX! * (1 - along) + rightX! * along
    const y = points.y[i]! + leftY! * (1 - along) + rightY! * along
    const [ix, iy] = [Math.floor(x), Math.floor(y)]
    if (ix < 0 || iy < 0 || ix >= width - 1 || iy >= height - 1) {
      sampled[i] = Number.NaN
      continue
    }
    const [fx, fy] = [x - ix, y - iy]
    const at = iy * width + ix
    const value =
      (grey[at]! * (1 - fx) + grey[at + 1]! * fx) * (1 - fy) +
      (grey[at + width]! * (1 - fx) + grey[at + width + 1]! * fx) * fy
    sampled[i] = value
    const reference = points.grey[i]!
    inside += 1
    sumR += reference
    sumP += value
    sumRR += reference * reference
    sumPP += value * value
  }
  if (inside < LEAST_INSIDE * points.count || inside < 20) return null
  const [meanReference, meanPicture] = [sumR / inside, sumP / inside]
  return {
    ...{ meanReference, meanPicture },
    spreadReference: Math.sqrt(Math.max(1e-6, sumRR / inside - meanReference ** 2)),
    spreadPicture: Math.sqrt(Math.max(1e-6, sumPP / inside - meanPicture ** 2)),
  }
}

/** The step that makes the weighted differences least, px of this scale; null where nothing in the region tells. */
function stepTo(
  points: RegionPoints,
  sampled: Float32Array,
  { meanReference, meanPicture, spreadReference, spreadPicture }: Stats,
  turns: boolean,
): Float64Array | null {
  const gain = spreadReference / spreadPicture
  const off = new Float32Array(points.count)
  let [sum, inside] = [0, 0]
  for (let i = 0; i < points.count; i += 1) {
    const one = (sampled[i]! - meanPicture) * gain - (points.grey[i]! - meanReference)
    off[i] = one
    if (Number.isNaN(one)) continue
    sum += Math.abs(one)
    inside += 1
  }
  const half = (COUNTS_HALF * sum) / inside + 1e-6
  // The equations in the shifts of both ends, by how far along a pixel lies: sums of slope products over (1 − a)², (1 − a)·a, a².
  const sums = new Float64Array(9)
  const right = new Float64Array(4)
  for (let i = 0; i < points.count; i += 1) {
    const one = off[i]!
    if (Number.isNaN(one)) continue
    const weight = 1 / (1 + (one / half) ** 2)
    const after = points.along[i]!
    const before = 1 - after
    const [slopeX, slopeY] = [points.slopeX[i]!, points.slopeY[i]!]
    const [xx, xy, yy] = [weight * slopeX * slopeX, weight * slopeX * slopeY, weight * slopeY * slopeY]
    const [bb, ba, aa] = [before * before, before * after, after * after]
    sums[0]! += xx * bb
    sums[1]! += xy * bb
    sums[2]! += yy * bb
    sums[3]! += xx * ba
    sums[4]! += xy * ba
    sums[5]! += yy * ba
    sums[6]! += xx * aa
    sums[7]! += xy * aa
    sums[8]! += yy * aa
    const [offX, offY] = [weight * slopeX * one, weight * slopeY * one]
    right[0]! -= offX * before
    right[1]! -= offY * before
    right[2]! -= offX * after
    right[3]! -= offY * after
  }
  const size = (sums[0]! + sums[2]! + sums[6]! + sums[8]!) / 4
  if (!(size > 0)) return null
  // What parts the two ends is held back a little, or wholly where the region may not turn.
  const apart = size * (turns ? HELD_TOGETHER : 1e6)
  const own = apart + 1e-6 * size
  const [bxx, bxy, byy, cxx, cxy, cyy, axx, axy, ayy] = sums as unknown as readonly number[]
  const matrix = Float64Array.of(
    ...[bxx! + own, 0, 0, 0],
    ...[bxy!, byy! + own, 0, 0],
    ...[cxx! - apart, cxy!, axx! + own, 0],
    ...[cxy!, cyy! - apart, axy!, ayy! + own],
  )
  factorInPlace(matrix, 4)
  solveLowerInPlace(matrix, 4, right)
  solveUpperInPlace(matrix, 4, right)
  return right
}

function told(
  moved: readonly number[],
  scale: number,
  points: RegionPoints,
  sampled: Float32Array,
  { meanReference, meanPicture, spreadReference, spreadPicture }: Stats,
): Found {
  let [sum, count] = [0, 0]
  for (let i = 0; i < points.count; i += 1) {
    if (Number.isNaN(sampled[i]!)) continue
    sum += (sampled[i]! - meanPicture) * (points.grey[i]! - meanReference)
    count += 1
  }
  return {
    moved: moved.map((px) => px * scale) as unknown as Moved,
    likeness: sum / count / spreadReference / spreadPicture,
  }
}
