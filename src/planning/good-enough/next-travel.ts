import { REPEATS_FOR_SHAPE } from '../../regression/index.js'
import type { Direction } from '../../traverse/index.js'
import { firstRuns } from './first-runs.js'
import { knownSides, type NextForTable, worstOf } from './next-for-table.js'
import {
  inOrder,
  MOST_TRAVELS,
  type PlannedTravel,
  planTravels,
  REPEATS_IN_TRAVEL,
  type TravelQuestion,
  takes,
  waysFrom,
} from './plan-travels.js'

/** What to do next by travels, as `NextForTable` says it for single runs. */
export interface NextTravel extends Pick<NextForTable, 'reached' | 'worst' | 'outOfReach'> {
  readonly next: PlannedTravel | null
  /** The travels that it is likely to take from here on; the first is `next`. */
  readonly likely: readonly PlannedTravel[]
}

/**
 * The travel to make next for a table that is to be good enough everywhere: first through every setting, the second
 * direction at a few, then through those that show how far settings scatter, then through those that the worst places
 * need. To and fro where both directions want something, since the way back costs nothing then.
 */
export function nextTravel(question: TravelQuestion): NextTravel {
  const first = firstRuns(question, REPEATS_FOR_SHAPE)
  const known = question.fitted === null ? null : knownSides(question, question.fitted)
  const worst = known === null ? null : worstOf(known, question)
  if (first.next !== null || known === null) {
    const likely = firstTravels(question, first)
    return { reached: false, worst, next: likely[0] ?? null, likely, outOfReach: [] }
  }
  const { travels, outOfReach } = planTravels(known, question)
  return {
    reached: travels.length === 0 && outOfReach.length === 0,
    worst,
    next: travels[0] ?? null,
    likely: travels,
    outOfReach,
  }
}

/** To and fro through the settings that are still to be measured or repeated, and to those likely to come after. */
function firstTravels(
  question: TravelQuestion,
  { missing, likely }: ReturnType<typeof firstRuns>,
): PlannedTravel[] {
  const travels: PlannedTravel[] = []
  const left = [...likely]
  let { before } = question
  while (left.length > 0 && travels.length < MOST_TRAVELS) {
    const wantedIn = (way: Direction) => left.some((one) => one.direction === way)
    const direction = waysFrom(before, question.directions).find(wantedIn)!
    const dials: number[] = []
    for (const one of left.filter((setting) => setting.direction === direction)) {
      if (dials.includes(one.dial) || !takes(question, dials, one.dial, direction)) continue
      // A travel that has nothing to measure for the first time is as long as the others need it.
      const isFirst = missing.includes(one)
      if (!isFirst && dials.length >= REPEATS_IN_TRAVEL) break
      dials.push(one.dial)
      left.splice(left.indexOf(one), 1)
    }
    travels.push({ direction, dials: inOrder(dials, direction) })
    before = direction
  }
  return travels
}
