import { borrowsWith } from '../../regression/index.js'
import type { Place, PlannedSide } from './plan-runs.js'

/** The direction whose shape this one borrows as the runs made and planned stand; null where it stands by itself. */
export function lenderAmong<S extends PlannedSide>(sides: readonly S[], side: PlannedSide): S | null {
  const other = sides.find(({ known }) => known.direction !== side.known.direction)
  return other !== undefined && borrowsWith(side.made.size, other.made.size) ? other : null
}

/**
 * The settings that are worth turning to. A direction that borrows the shape of the other one keeps to its own settings
 * and few of the other's: what is open between them the other direction tells of both, and one that has more settings of
 * its own has to show its whole shape by itself.
 */
export function worthTurningTo(sides: readonly PlannedSide[], side: PlannedSide): readonly number[] {
  const { made, settable } = side
  const lender = lenderAmong(sides, side)?.made
  if (lender === undefined) return settable
  const oneMore = borrowsWith(made.size + 1, lender.size)
  return settable.filter((dial) => made.has(dial) || (oneMore && lender.has(dial)))
}

/** The place of the lending direction that a place of the borrowing one follows. */
export function lentAt(lender: PlannedSide, place: Place): Place {
  return lender.narrowing.at(place.dial)
}

/**
 * Plans a run at a setting. A direction that borrows from it becomes as much better known at the same place; one that it
 * borrows from learns what of the run is not the deviation of the two, as far as that is known.
 */
export function planRunAt(sides: readonly PlannedSide[], side: PlannedSide, dial: number): void {
  const { narrowing, made } = side
  const before = new Map(narrowing.places.map((place) => [place, place.meanVariance]))
  const borrowers = sides.filter((other) => lenderAmong(sides, other) === side)
  const lender = lenderAmong(sides, side)
  if (lender !== null) learnFrom(lender, side, dial)
  made.set(dial, (made.get(dial) ?? 0) + 1)
  narrowing.measure(dial)
  for (const { narrowing: borrowed } of borrowers) {
    for (const place of borrowed.places) {
      const lent = lentAt(side, place)
      borrowed.lessen(place, before.get(lent)! - lent.meanVariance)
    }
  }
}

/** What a run of the borrowing direction takes off the variances of the lending one. */
function learnFrom({ narrowing }: PlannedSide, borrower: PlannedSide, dial: number): void {
  const [here, there] = [narrowing.at(dial), borrower.narrowing.at(dial)]
  const shared = Math.min(here.meanVariance, there.meanVariance) / here.meanVariance
  const share =
    (shared ** 2 * (here.meanVariance + here.settingVariance)) / (there.meanVariance + there.settingVariance)
  const gains = narrowing.places.map((place) => share * narrowing.gain(place, dial))
  for (const [k, place] of narrowing.places.entries()) narrowing.lessen(place, gains[k]!)
}
