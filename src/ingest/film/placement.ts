import type { DisplayBox, GreyFrame, Moved, Point } from './grey-frame.js'

/** Where the places of a display lie within its frame, px from the frame's top left. */
export interface Placement {
  /** Middle of the first place. */
  readonly firstX: number
  /** From place to place. */
  readonly pitch: number
  /** From the middle line of a figure to the middle lines of its upright bars. */
  readonly halfWidth: number
  readonly middleY: number
  /** From the middle bar to the middle lines of the top and the bottom bar. */
  readonly halfHeight: number
  /** How far the figures lean to the right, px a px of height. */
  readonly slant: number
  /** How far the row falls to the right, px a px of width. */
  readonly tilt: number
}

/** Points of each bar, in half widths and half heights of a figure; ends are left out, where bars meet or part. */
const ALONG = [-0.5, -0.25, 0, 0.25, 0.5]
const UPRIGHT = [0.32, 0.41, 0.5, 0.59, 0.68]
const BAR_POINTS: readonly (readonly Point[])[] = [
  ALONG.map((x): Point => [x, -1]),
  UPRIGHT.map((y): Point => [1, -y]),
  UPRIGHT.map((y): Point => [1, y]),
  ALONG.map((x): Point => [x, 1]),
  UPRIGHT.map((y): Point => [-1, y]),
  UPRIGHT.map((y): Point => [-1, -y]),
  ALONG.map((x): Point => [x, 0]),
]
/** Points of the two fields that the bars of a figure enclose: they are ground, whatever is lit. */
const FIELD_POINTS: readonly (readonly Point[])[] = [-0.5, 0.5].map((y) =>
  [-0.2, 0, 0.2].flatMap((x): Point[] => [
    [x, y - 0.08],
    [x, y + 0.08],
  ]),
)
/** Heights at which the ground between two places is looked at: above the point, beside no bar's end. */
const GAP_HEIGHTS = [-0.5, 0.5]

/**
 * Heights at which a whole place is looked through for anything lit, and how far to either side, in places: closer than a
 * bar is thick, since the row may fall or rise to where nothing was lit for long.
 */
const THROUGH_HEIGHTS = Array.from({ length: 11 }, (_, i) => 0.13 * (i - 5))
const THROUGH = Array.from({ length: 21 }, (_, i) => 0.042 * (i - 10))

/** Points of a place in the frame's picture, px, as x and y in turn. */
export interface PlacePoints {
  readonly bars: readonly Float64Array[]
  /** Upper and lower field. */
  readonly fields: readonly Float64Array[]
  /** Ground left above, left below, right above, right below. */
  readonly gaps: readonly Float64Array[]
}

/** Points of every place of a display. */
export function placePoints(placement: Placement, places: number, box: DisplayBox): PlacePoints[] {
  const gap = placement.pitch / 2 / placement.halfWidth
  const gaps = [-gap, gap].flatMap((x) =>
    GAP_HEIGHTS.map(
      (y) =>
        [
          [x, y - 0.1],
          [x, y],
          [x, y + 0.1],
        ] satisfies Point[],
    ),
  )
  const put = inPicture(placement, box)
  return Array.from({ length: places }, (_, place) => ({
    bars: BAR_POINTS.map((points) => put(place, points)),
    fields: FIELD_POINTS.map((points) => put(place, points)),
    gaps: gaps.map((points) => put(place, points)),
  }))
}

/** Lines across the whole of every place, from left to right, one below the other. */
export function linesThrough(placement: Placement, places: number, box: DisplayBox): Float64Array[][] {
  const across = placement.pitch / placement.halfWidth
  const lines = THROUGH_HEIGHTS.map((y) => THROUGH.map((x): Point => [x * across, y]))
  const put = inPicture(placement, box)
  return Array.from({ length: places }, (_, place) => lines.map((points) => put(place, points)))
}

/** Puts points of a place, in half widths and half heights, into the picture: straight between the frame's corners. */
function inPicture(
  { firstX, pitch, halfWidth, middleY, halfHeight, slant, tilt }: Placement,
  box: DisplayBox,
): (place: number, points: readonly Point[]) => Float64Array {
  const [[ax, ay], [bx, by], [cx, cy], [dx, dy]] = box
  const [width, height] = boxSize(box)
  return (place, points) => {
    const middleX = firstX + place * pitch
    const put = new Float64Array(2 * points.length)
    // The search asks for thousands of places, so that this is a plain loop.
    for (let i = 0; i < points.length; i += 1) {
      const x = points[i]![0]
      const y = points[i]![1]
      const rowX = middleX + x * halfWidth - slant * y * halfHeight
      const u = rowX / width
      const v = (middleY + y * halfHeight + tilt * rowX) / height
      put[2 * i] = (ax * (1 - u) + bx * u) * (1 - v) + (dx * (1 - u) + cx * u) * v
      put[2 * i + 1] = (ay * (1 - u) + by * u) * (1 - v) + (dy * (1 - u) + cy * u) * v
    }
    return put
  }
}

const STANDS_STILL: Moved = [0, 0, 0, 0]

/** Mean brightness at points of the display, each between the pixels around it. */
export function meanAt({ pixels, width, height, moved }: GreyFrame, points: Float64Array): number {
  const [leftX, leftY, rightX, rightY] = moved ?? STANDS_STILL
  let sum = 0
  for (let i = 0; i < points.length; i += 2) {
    const along = points[i]! / width
    const toX = points[i]! + leftX + (rightX - leftX) * along
    const toY = points[i + 1]! + leftY + (rightY - leftY) * along
    // Pixels are squares: the middle of the first lies at half.
    const x = Math.min(Math.max(toX - 0.5, 0), width - 1.001)
    const y = Math.min(Math.max(toY - 0.5, 0), height - 1.001)
    const left = Math.floor(x)
    const top = Math.floor(y)
    const right = x - left
    const down = y - top
    const at = top * width + left
    const upper = pixels[at]! * (1 - right) + pixels[at + 1]! * right
    const lower = pixels[at + width]! * (1 - right) + pixels[at + width + 1]! * right
    sum += upper * (1 - down) + lower * down
  }
  return (2 * sum) / points.length
}

/** Mean length of the upper and lower side of a frame, and of its left and right side, px. */
export function boxSize([a, b, c, d]: DisplayBox): readonly [width: number, height: number] {
  const far = (p: Point, q: Point): number => Math.hypot(q[0] - p[0], q[1] - p[1])
  return [(far(a, b) + far(d, c)) / 2, (far(a, d) + far(b, c)) / 2]
}
