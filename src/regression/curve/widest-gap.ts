import type { Direction } from '../../traverse/index.js'
import type { DialWriting } from '../../units/index.js'
import type { FittedAxis, FittedDirection } from '../feed-table.js'
import { relativeHalfWidth } from '../relative-half-width.js'
import { creepLimit, fastestMark } from '../scatter/mark-group.js'

/** The gap between two marks in which the curves that the marks allow lie farthest apart. */
export interface WidestGap {
  readonly direction: Direction
  /** The marks on either side. */
  readonly from: number
  readonly to: number
  /** The setting inside the gap where one more mark would tell most, as a person can set it. */
  readonly dial: number
  /** Half width of the band of the mean there, percent of the feed. */
  readonly percent: number
  /** The wider of the half widths at the marks on either side, percent of their feeds. */
  readonly atMarksPercent: number
}

/**
 * How many times wider than at the marks beside it a band must be to say that a mark is missing there. Derived: below
 * twice, one more run at each of these marks narrows the place about as much as a new mark would.
 */
const CLEARLY_WIDER = 2

/** How near to its widest place a gap is measured, share of the gap. Judgement: a band is about as wide so far off. */
const NEAR_WIDEST = 0.25

/**
 * The gap where the forms that a dial curve may have disagree most: where its band is wider, by most percent of the feed,
 * than the errors of the marks on either side explain. Gaps beside a mark that creeps are left out, since the feed goes
 * towards nothing there and a percentage of it without end.
 *
 * @param fastestMmPerMin feed of the fastest mark of the axis
 * @returns null where no gap is clearly wider than its marks, or nothing can be set inside it
 */
export function widestGap(
  { direction, marks, curve }: Pick<FittedDirection, 'direction' | 'marks' | 'curve'>,
  fastestMmPerMin: number,
  { lettered }: DialWriting,
): WidestGap | null {
  const limit = creepLimit(fastestMmPerMin)
  let widest: WidestGap | null = null
  let most = 0
  for (const [k, right] of marks.slice(1).entries()) {
    const left = marks[k]!
    if (Math.min(left.feedMmPerMin, right.feedMmPerMin) < limit) continue
    const [from, to] = [left.dial, right.dial]
    const [leftHalf, rightHalf] = [relativeHalfWidth(left) ?? 0, relativeHalfWidth(right) ?? 0]
    for (const point of curve) {
      if (point.dial <= from || point.dial >= to) continue
      const half = relativeHalfWidth(point) ?? 0
      const share = (point.dial - from) / (to - from)
      const byMarks = ((1 - share) * leftHalf) ** 2 + (share * rightHalf) ** 2
      const byForms = half ** 2 - byMarks
      if (byForms <= most || half < CLEARLY_WIDER * Math.max(leftHalf, rightHalf)) continue
      const dial = handySetting(point.dial, from, to, lettered === true)
      if (dial === null) continue
      most = byForms
      widest = {
        direction,
        from,
        to,
        dial,
        percent: 100 * half,
        atMarksPercent: 100 * Math.max(leftHalf, rightHalf),
      }
    }
  }
  return widest
}

/** The widest gap of each direction that has one. */
export function widestGaps({ directions }: FittedAxis, writing: DialWriting): WidestGap[] {
  const fastest = fastestMark(directions)
  return directions.flatMap((side) => widestGap(side, fastest, writing) ?? [])
}

/**
 * The roundest number inside a gap that lies near a place: a whole one before a half one before a tenth. On a dial of
 * letters only a letter can be set; null where the gap holds none.
 */
function handySetting(place: number, from: number, to: number, lettered: boolean): number | null {
  const gap = to - from
  const largest = 10 ** Math.floor(Math.log10(gap))
  for (const step of lettered ? [1] : [largest, largest / 2, largest / 10, largest / 20]) {
    // Divided, not multiplied by a fraction, so that a tenth prints as a tenth.
    const dial = step < 1 ? Math.round(place / step) / Math.round(1 / step) : Math.round(place / step) * step
    const near = lettered || Math.abs(dial - place) <= NEAR_WIDEST * gap
    if (near && dial > from && dial < to) return dial
  }
  return null
}
