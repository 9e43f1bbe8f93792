import { type FitOptions, type FittedAxis, fastestMark, type RunEvidence } from '../../regression/index.js'
import type { Direction } from '../../traverse/index.js'
import { firstRuns } from './first-runs.js'
import { enoughAt, halfWidthOf, type KnownPlace, placesOf, type Wish } from './places.js'
import { type KnownSide, planRuns } from './plan-runs.js'
import type { SettableDial } from './settings.js'

/** A table that is to become good enough, and what there is of it. */
export interface TableQuestion extends Wish {
  readonly directions: readonly Direction[]
  readonly axis: SettableDial & FitOptions
  /** Runs that a fit would use. */
  readonly runs: readonly RunEvidence[]
  /** The fit of these runs; null where there are none. */
  readonly fitted: FittedAxis | null
  /** Settings at which no run could be had, such as where the table stands still: they are not asked for again. */
  readonly without?: readonly Setting[]
}

/** Where a run is made. */
export interface Setting {
  readonly dial: number
  readonly direction: Direction
}

/** Why a run is asked for; `lends-shape`: a place of the other direction, which borrows the shape of this one, needs it. */
export type Because = 'not-measured' | 'never-repeated' | 'widest' | 'between-marks' | 'lends-shape'

export interface NextForTable {
  /** Every place is good enough. */
  readonly reached: boolean
  /** The place that is farthest from good enough, or was; null before all intervals are there. */
  readonly worst: (Setting & { readonly percent: number; readonly enoughPercent: number }) | null
  readonly next: (Setting & { readonly because: Because }) | null
  /** Runs that it is likely to take from here on. */
  readonly runs: number
  /** So many settings that these runs are likely to be made at, in order; the first is `next`. */
  readonly likely: readonly Setting[]
  /** Places that no run a person can make brings within what is wanted. */
  readonly outOfReach: readonly OutOfReach[]
}

export interface OutOfReach {
  readonly direction: Direction
  readonly from: number
  readonly to: number
  /** Half width that its worst place has, percent. */
  readonly percent: number
  /** `between-settings`: runs at the settings around it hardly narrow it; `scatter`: more runs than anyone makes would be needed. */
  readonly why: 'between-settings' | 'scatter'
}

/**
 * What to do next for a table that is to be good enough everywhere: first every setting once, then some of them again to
 * learn how far runs scatter, then always the run that narrows the worst place most. A place of a direction that borrows its
 * shape is narrowed by runs in the other one too.
 */
export function nextForTable(question: TableQuestion): NextForTable {
  const first = firstRuns(question, REPEATS_TO_PLAN_BY)
  const known = question.fitted === null ? null : knownSides(question, question.fitted)
  const worst = known === null ? null : worstOf(known, question)
  if (first.next !== null || known === null) {
    return {
      reached: false,
      worst,
      next: first.next,
      runs: first.likely.length,
      likely: first.likely,
      outOfReach: [],
    }
  }
  const { steps, outOfReach } = planRuns(known, question)
  const runs = Math.min(steps.length, 1 + Math.ceil(FIT_NARROWS_FASTER * (steps.length - 1)))
  return {
    reached: steps.length === 0 && outOfReach.length === 0,
    worst,
    next: steps[0] ?? null,
    runs,
    likely: steps.slice(0, runs).map(({ dial, direction }) => ({ dial, direction })),
    outOfReach,
  }
}

/**
 * Degrees of freedom of the scatter before a table of single runs is planned. Measured by `npm run proof:shop`: by the four
 * that show a shape, tables of both directions whose few repeats lay close together by chance ended too soon.
 */
const REPEATS_TO_PLAN_BY = 6

/**
 * Runs that are really made of those planned, share: a run sharpens what is known of the scatter and of the shape of
 * the whole curve, which the plan does not reckon with. Measured by `npm run proof:within`.
 */
const FIT_NARROWS_FASTER = 0.25

export function knownSides({ directions }: TableQuestion, fitted: FittedAxis): KnownSide[] | null {
  const fastest = fastestMark(fitted.directions)
  const sides = fitted.directions
    .filter(({ direction }) => directions.includes(direction))
    .map((side) => {
      const places = placesOf(side, fastest)
      return (
        places && {
          direction: side.direction,
          places,
          marks: marksAmong(side.marks, places),
          continuous: side.curve.length > 0,
        }
      )
    })
  return sides.some((side) => side === null) ? null : sides.filter((side) => side !== null)
}

function marksAmong(marks: readonly { readonly dial: number }[], places: readonly KnownPlace[]): number[] {
  return marks.map((mark) => mark.dial).filter((dial) => places.some((place) => place.dial === dial))
}

export function worstOf(sides: readonly KnownSide[], wish: Wish): NextForTable['worst'] {
  const places = sides.flatMap((side) => side.places)
  const [first, ...others] = places
  if (first === undefined) return null
  const excess = (place: KnownPlace) => halfWidthOf(place) / enoughAt(place, wish)
  const { dial, direction, ...known } = others.reduce(
    (worst, one) => (excess(one) > excess(worst) ? one : worst),
    first,
  )
  return { dial, direction, percent: 100 * halfWidthOf(known), enoughPercent: 100 * enoughAt(known, wish) }
}
