import type { Direction } from '../traverse/index.js'
import { directionSign } from '../units/index.js'
import { borrowShape } from './curve/borrowed-shape.js'
import type { CurveDraw } from './curve/curve-draws.js'
import { curveGrid } from './curve/dial-curve.js'
import { type DialKind, drawDialCurves } from './curve/dial-draws.js'
import { showsShape } from './curve/shows-shape.js'
import type { TableWarning } from './feed-table.js'
import type { AxisSide } from './scatter/axis-scatter.js'
import { marksOutOfOrder, type TrendFound } from './scatter/dial-trend.js'
import type { FittedMark } from './scatter/mark-fit.js'
import type { NoisePoint, NoisePosterior } from './scatter/noise-model.js'

/** One direction with its marks fitted. */
export interface FittedSide extends AxisSide {
  readonly marks: readonly FittedMark[]
}

/** Marks that show the shape of a curve well enough to lend it: a kink between them too. Judgement. */
export const MARKS_TO_LEND = 6

/** Share of the other direction's marks from which on a direction shows its own shape. Judgement. */
const SHARE_FOR_OWN_SHAPE = 0.75

/**
 * Marks below which nothing is said of how the direction deviates from a mere factor. Derived: one mark tells the
 * factor alone.
 */
const MARKS_TO_BORROW = 2

/** Whether a direction with so many marks has few enough to borrow the shape of one with so many. */
export function borrowsWith(marks: number, others: number): boolean {
  return others >= MARKS_TO_LEND && marks >= MARKS_TO_BORROW && marks < SHARE_FOR_OWN_SHAPE * others
}

/**
 * The direction whose shape another one may borrow: it has many more marks, which reach as far along the dial; neither
 * has a mark that creeps or breaks the order, because such marks have no ratio that would mean anything.
 */
export function lenderOf(
  side: FittedSide,
  all: readonly FittedSide[],
  trend: TrendFound,
  posterior: NoisePosterior | null,
): FittedSide | null {
  const other = all.find((one) => one.direction !== side.direction)
  if (other === undefined || trend === 'unclear') return null
  const fewer = borrowsWith(side.marks.length, other.marks.length)
  if (!fewer || !showsShape(other.marks, posterior)) return null
  const [low, high] = [other.marks[0]!.dial, other.marks.at(-1)!.dial]
  const reaches = side.marks.every((mark) => mark.dial >= low && mark.dial <= high)
  const sound = [side, other].every(
    ({ groups, marks }) =>
      groups.every((group) => !group.creeps) && marksOutOfOrder(marks, trend).length === 0,
  )
  return reaches && sound ? other : null
}

/** Curves drawn by the marks of one direction alone: those of a lender are wanted for both directions. */
export type DrawnAlone = Map<readonly FittedMark[], CurveDraw[]>

/**
 * Curves that the marks of one direction allow, with the other one's shape where there is a lender.
 *
 * @param drawn of the same axis, noise and trend; what is drawn here is added
 */
export function drawSideCurves(
  marks: readonly FittedMark[],
  noise: readonly NoisePoint[],
  { trend, sparse, lender }: DialKind & { readonly lender: FittedSide | null },
  drawn: DrawnAlone = new Map(),
): CurveDraw[] {
  const alone = (own: readonly FittedMark[], kind: DialKind): CurveDraw[] => {
    const draws = drawn.get(own) ?? drawDialCurves(own, noise, kind)
    drawn.set(own, draws)
    return draws
  }
  if (lender === null || trend === 'unclear') return alone(marks, { trend, sparse })
  const lent = {
    grid: curveGrid(lender.marks.map((mark) => mark.dial)),
    // A lender shows its shape, so that its own curve is no sparse one either.
    draws: alone(lender.marks, { trend, sparse: false }),
  }
  return borrowShape(marks, noise, lent, trend)
}

/** What must be said of a table whose shape is borrowed. */
export function borrowedWarning(direction: Direction, marks: number): TableWarning {
  const [own, other] = [directionSign(direction), directionSign(direction === 1 ? -1 : 1)]
  return {
    code: 'shape-borrowed',
    message: `Direction ${own} was measured at ${marks} marks only. Between them its curve has the shape of direction ${other}, times a factor and with a deviation of its own that these marks tell; more marks in direction ${own} replace what is borrowed.`,
  }
}
