import type { Direction } from '../traverse/index.js'
import { directionSign } from '../units/index.js'
import { shareShape } from './curve/borrowed-shape.js'
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

/** Two directions of one shape: one was measured at few marks and borrows it. */
export interface SharingSides {
  readonly borrower: FittedSide
  readonly lender: FittedSide
  /** Whether what the few marks tell of the shape counts for both: not where they share errors with those of the lender. */
  readonly telling: boolean
}

/**
 * The directions that share a shape: one has many more marks, which reach as far along the dial; neither has a mark that
 * creeps or breaks the order, because such marks have no ratio that would mean anything.
 *
 * @returns null where each direction stands by itself
 */
export function sharingSides(
  sides: readonly FittedSide[],
  trend: TrendFound,
  posterior: NoisePosterior | null,
): SharingSides | null {
  const [one, other] = sides
  if (one === undefined || other === undefined || trend === 'unclear') return null
  const pairs = [
    { borrower: one, lender: other },
    { borrower: other, lender: one },
  ]
  const pair = pairs.find(({ borrower, lender }) => borrowsWith(borrower.marks.length, lender.marks.length))
  if (pair === undefined || !showsShape(pair.lender.marks, posterior)) return null
  const { borrower, lender } = pair
  const [low, high] = [lender.marks[0]!.dial, lender.marks.at(-1)!.dial]
  const reaches = borrower.marks.every((mark) => mark.dial >= low && mark.dial <= high)
  const sound = sides.every(
    ({ groups, marks }) =>
      groups.every((group) => !group.creeps) && marksOutOfOrder(marks, trend).length === 0,
  )
  return reaches && sound ? { ...pair, telling: !shareSettings(borrower, lender) } : null
}

/** Curves by their direction: those of two directions that share a shape are drawn together. */
export type DrawnCurves = Map<Direction, readonly CurveDraw[]>

/**
 * Curves that the marks of one direction allow, with those of the other one where both share a shape.
 *
 * @param drawn of the same axis, noise and trend; what is drawn for the other direction on the way is added
 */
export function drawSideCurves(
  { direction, marks }: FittedSide,
  noise: readonly NoisePoint[],
  { trend, sparse, sharing }: DialKind & { readonly sharing: SharingSides | null },
  drawn: DrawnCurves = new Map(),
): readonly CurveDraw[] {
  if (sharing === null || trend === 'unclear') return drawDialCurves(marks, noise, { trend, sparse })
  const { borrower, lender, telling } = sharing
  if (!drawn.has(direction)) {
    const lent = {
      grid: curveGrid(lender.marks.map((mark) => mark.dial)),
      // A lender shows its shape, so that its own curve is no sparse one either.
      draws: drawDialCurves(lender.marks, noise, { trend, sparse: false }),
    }
    const shared = shareShape(borrower.marks, noise, lent, { trend, telling })
    drawn.set(borrower.direction, shared.borrower)
    drawn.set(lender.direction, shared.lender)
  }
  return drawn.get(direction)!
}

/** Whether the dial stayed as it was set for runs of both directions: its error is then the same in both. */
function shareSettings(borrower: FittedSide, lender: FittedSide): boolean {
  const settings = new Set(lender.runs.flatMap(({ setting }) => setting ?? []))
  return borrower.runs.some(({ setting }) => setting !== undefined && settings.has(setting))
}

/** What must be said of a table whose shape is borrowed. */
export function borrowedWarning({ borrower, lender, telling }: SharingSides): TableWarning {
  const [own, other] = [directionSign(borrower.direction), directionSign(lender.direction)]
  const forBoth = telling ? ` What these marks tell of the shape counts in direction ${other} too.` : ''
  return {
    code: 'shape-borrowed',
    message: `Direction ${own} was measured at ${borrower.marks.length} marks only. Between them its curve has the shape of direction ${other}, times a factor and with a deviation of its own that these marks tell; more marks in direction ${own} replace what is borrowed.${forBoth}`,
  }
}
