import type { Direction } from '../../traverse/index.js'
import { fromMm, type LengthUnit, toMm } from '../../units/index.js'
import { type PlannedAxis, type Procedure, planSession } from './session-plan.js'
import { suggestedTravel, wantedTravel } from './travel-distance.js'

/** One traverse to be timed by hand. */
interface SheetRow {
  /** From 1, in the order to be made. */
  readonly step: number
  readonly pass: number
  readonly dial: number
  readonly direction: Direction
  /** Distance between the two lines to time at, mm; null where nothing tells how fast the setting feeds. */
  readonly travelMm: number | null
  /** How long that takes, s. */
  readonly expectedS: number | null
}

/** A blank sheet to take to the machine. */
export interface RunSheet {
  readonly rows: readonly SheetRow[]
  /** The farthest that a traverse should go on this axis, mm. */
  readonly longestTravelMm: number
}

interface SheetWishes {
  /** The same travel for all rows, mm; null to suggest one for each. */
  readonly travelMm: number | null
  /** What a setting feeds as far as is known, mm/min; null where it is not. */
  readonly feedAt: (dial: number, direction: Direction) => number | null
  /** Travels are suggested in handy lengths of this unit. */
  readonly unit: LengthUnit
}

/**
 * Handy lengths are whole multiples of these, in the unit named (judgement: what a handwheel shows in whole turns
 * or lines).
 */
const HANDY: Readonly<Record<LengthUnit, number>> = { in: 0.5, mm: 10, deg: 10 }

/**
 * The rows of a blank run sheet: the steps of a procedure in their order, each with a travel that takes as long as the
 * procedure wants, rounded up to a handy length, within the share of the axis that it allows.
 *
 * @throws UsageError as `planSession` does
 */
export function runSheet(
  procedure: Procedure,
  axis: PlannedAxis & { readonly travelMm: number },
  wishes: SheetWishes,
): RunSheet {
  const longestTravelMm = axis.travelMm * procedure.longestTravelShare
  const rows = planSession(procedure, axis).steps.map(({ step, pass, dial, direction }): SheetRow => {
    const feedMmPerMin = wishes.feedAt(dial, direction)
    const knownFeed = feedMmPerMin !== null && feedMmPerMin > 0 ? feedMmPerMin : null
    const travelMm =
      wishes.travelMm ??
      (knownFeed === null
        ? null
        : handy(
            suggestedTravel({ ...wantedTravel(procedure, axis), feedMmPerMin: knownFeed }).distanceMm,
            longestTravelMm,
            wishes.unit,
          ))
    const expectedS = travelMm === null || knownFeed === null ? null : (60 * travelMm) / knownFeed
    return { step, pass, dial, direction, travelMm, expectedS }
  })
  return { rows, longestTravelMm }
}

/** Up to the next handy length; down where that would be too far, and as it is where the axis is shorter than any. */
function handy(travelMm: number, longestMm: number, unit: LengthUnit): number {
  const steps = fromMm(travelMm, unit) / HANDY[unit]
  const up = toMm(Math.ceil(steps - 1e-9) * HANDY[unit], unit)
  if (up <= longestMm) return up
  const down = toMm(Math.floor(steps) * HANDY[unit], unit)
  return down > 0 ? down : travelMm
}
