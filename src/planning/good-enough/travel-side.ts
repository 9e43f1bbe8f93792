import type { AxisScatter } from '../../regression/index.js'
import type { TableQuestion } from './next-for-table.js'
import { enoughAt, halfWidthOf } from './places.js'
import { type KnownSide, type Place, type PlannedSide, plannedSide } from './plan-runs.js'

/**
 * Share of what is good enough that the level may take of a half width while settings are planned. Derived: as much
 * for what places share as for what each has of its own, 1/√2.
 */
const LEVEL_SHARE = Math.SQRT1_2

/** What a place has of its own at least, share of its variance. Judgement: the two parts are only told apart roughly. */
const LEAST_OWN_SHARE = 0.05

/** One direction, what its places have of their own told from what they share. */
export interface TravelSide extends PlannedSide {
  /** Relative variance that all places share: of what the runs of each travel have in common. */
  levelVariance: number
  /** Relative variance that one more travel would have by itself. */
  readonly aheadVariance: number
}

/** Tells what the places of a direction share, the level, from what each has of its own. */
export function travelSide(side: KnownSide, question: TableQuestion, scatter: AxisScatter): TravelSide {
  const aheadVariance = scatter.travels?.aheadVariance ?? 0
  const levelVariance = scatter.levelVarianceOf(side.direction)
  const places = side.places.map((place) => ({
    ...place,
    meanDeviation: Math.sqrt(
      Math.max(LEAST_OWN_SHARE * place.meanDeviation ** 2, place.meanDeviation ** 2 - levelVariance),
    ),
    settingDeviation: Math.sqrt(Math.max(0, place.settingDeviation ** 2 - aheadVariance)),
  }))
  return { ...plannedSide({ ...side, places }, question), levelVariance, aheadVariance }
}

/** Half widths of a place: of what it has of its own, of what all places share, and the whole that is good enough. */
function halvesAt(
  place: Place,
  { levelVariance, aheadVariance }: TravelSide,
  question: TableQuestion,
): { readonly own: number; readonly level: number; readonly enough: number } {
  const halfOf = (variance: number) => halfWidthOf({ meanDeviation: Math.sqrt(variance) })
  const enough = enoughAt(
    {
      meanDeviation: Math.sqrt(place.meanVariance + levelVariance),
      settingDeviation: Math.sqrt(place.settingVariance + aheadVariance),
    },
    question,
  )
  return { own: halfOf(place.meanVariance), level: halfOf(levelVariance), enough }
}

/** How far a place is from good enough: more than 1 where it is not. */
export function excessOf(place: Place, side: TravelSide, question: TableQuestion): number {
  const { own, level, enough } = halvesAt(place, side, question)
  return Math.hypot(own, level) / enough
}

/** The same of what the settings of a travel mend, by themselves: the level falls by the number of travels. */
export function ownExcessOf(place: Place, side: TravelSide, question: TableQuestion): number {
  const { own, level, enough } = halvesAt(place, side, question)
  const shared = Math.min(level, LEVEL_SHARE * enough)
  return own / Math.sqrt(enough ** 2 - shared ** 2)
}

/** Whether the level is known so badly that travels are needed whatever the settings of each. */
export function tooFewTravels(side: TravelSide, question: TableQuestion): boolean {
  return side.narrowing.places.some((place) => {
    const { level, enough } = halvesAt(place, side, question)
    return level > LEVEL_SHARE * enough
  })
}
