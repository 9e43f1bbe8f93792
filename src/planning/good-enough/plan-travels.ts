import { axisScatter } from '../../regression/index.js'
import type { Direction } from '../../traverse/index.js'
import { MOST_AT_SETTING } from '../advice/most-at-setting.js'
import { worthTurningTo } from './borrowing.js'
import type { OutOfReach, TableQuestion } from './next-for-table.js'
import { bestChoice, foreseenOutOfReach, type KnownSide, outOfReach, type Place } from './plan-runs.js'
import { excessOf, ownExcessOf, type TravelSide, tooFewTravels, travelSide } from './travel-side.js'

/** A table that is to become good enough by travels in which the knob is turned from setting to setting. */
export interface TravelQuestion extends TableQuestion {
  /** Which way the table went last; null before any travel. */
  readonly before: Direction | null
  /** Whether one travel holds all of these settings, turned to in this order. */
  readonly holds: (dials: readonly number[], direction: Direction) => boolean
}

/** One travel and the settings to turn to in it, in order. */
export interface PlannedTravel {
  readonly direction: Direction
  readonly dials: readonly number[]
}

/**
 * Settings of a travel at least. Measured by `npm run proof:shop`: two tell what a travel has in common with others that
 * turned to them, and more travels make the level known sooner than longer ones.
 */
const FEWEST_IN_TRAVEL = 2

/**
 * Settings of a travel that is made to repeat some, before the scatter is known. Measured by `npm run proof:shop`: one of
 * the repeats tells what the travel has in common with others, so that two show little of the scatter.
 */
export const REPEATS_IN_TRAVEL = 4

/** Travels that are planned at most. Judgement: nobody makes more. */
export const MOST_TRAVELS = 60

/**
 * Settings of a travel whose places are planned for, once all settings were measured. Measured by `npm run proof:shop`: early
 * in a calibration the scatter is known badly, and what looks wide everywhere is soon not.
 */
const MOST_IN_TRAVEL = 7

/** The other way first, since the table stands at that end. */
export function waysFrom(before: Direction | null, directions: readonly Direction[]): Direction[] {
  const first = before === 1 ? -1 : before === -1 ? 1 : directions[0]!
  return [first, first === 1 ? -1 : 1].filter((way): way is Direction =>
    directions.includes(way as Direction),
  )
}

/** Whether a travel takes one more setting; it takes one at least. */
export function takes(
  { holds }: TravelQuestion,
  dials: readonly number[],
  dial: number,
  direction: Direction,
): boolean {
  return dials.length === 0 || holds(inOrder([...dials, dial], direction), direction)
}

/** Up the dial one way and down it the other, so that the knob is not turned back between two travels. */
export function inOrder(dials: readonly number[], direction: Direction): number[] {
  const rising = [...dials].sort((a, b) => a - b)
  return direction === 1 ? rising : rising.reverse()
}

/**
 * The travels that make every place good enough. What all places share, the level, falls with the number of travels; what
 * each has of its own with the settings that are turned to.
 */
export function planTravels(
  known: readonly KnownSide[],
  question: TravelQuestion,
): { readonly travels: readonly PlannedTravel[]; readonly outOfReach: readonly OutOfReach[] } {
  const scatter = axisScatter(question.runs, question.axis)
  const sides = known.map((side) => travelSide(side, question, scatter))
  const lost = new Map<Place, OutOfReach>()
  const travels: PlannedTravel[] = []
  let { before } = question
  while (travels.length < MOST_TRAVELS) {
    const wanting = waysFrom(before, question.directions).flatMap((way) =>
      sides.filter((side) => side.known.direction === way && wantsMore(side, question, lost)),
    )
    const [first] = wanting
    if (first === undefined) break
    // What a direction that borrows waits for, the other one measures first.
    const planned = wanting.flatMap((side) => {
      const dials = travelOf(side, () => worthTurningTo(sides, side), question, lost)
      return dials.length > 0 ? [{ side, dials }] : []
    })[0] ?? { side: first, dials: travelOf(first, () => first.settable, question, lost) }
    const { side, dials } = planned
    const { direction } = side.known
    if (dials.length === 0) {
      for (const place of side.narrowing.places) {
        if (excessOf(place, side, question) > 1 && !lost.has(place)) lost.set(place, reasonOf(side, place))
      }
      continue
    }
    travels.push({ direction, dials: inOrder(dials, direction) })
    before = direction
  }
  const planned = travels.flatMap(({ direction, dials }) => dials.map((dial) => ({ dial, direction })))
  return { travels, outOfReach: foreseenOutOfReach(lost, sides, planned) }
}

/** Whether some place is not good enough that runs may make so; those that none does are noted as lost. */
function wantsMore(side: TravelSide, question: TravelQuestion, lost: Map<Place, OutOfReach>): boolean {
  const worse = side.narrowing.places.filter(
    (place) => !lost.has(place) && excessOf(place, side, question) > 1,
  )
  for (const place of worse) {
    const hopeless = bestChoice(side, place) === null && ownExcessOf(place, side, question) > 1
    if (hopeless) lost.set(place, reasonOf(side, place))
  }
  return worse.some((place) => !lost.has(place))
}

function reasonOf(side: TravelSide, place: Place): OutOfReach {
  const mostMade = Math.max(...side.settable.map((dial) => side.made.get(dial) ?? 0))
  return outOfReach(side, place, mostMade >= MOST_AT_SETTING ? 'scatter' : 'between-settings')
}

/**
 * The settings of one travel, most needed first; what it will have told is taken off what is open.
 * @param worth settings that it may turn to, asked again after each
 */
function travelOf(
  side: TravelSide,
  worth: () => readonly number[],
  question: TravelQuestion,
  lost: Map<Place, OutOfReach>,
): number[] {
  const { direction } = side.known
  const { levelVariance, aheadVariance } = side
  const dials: number[] = []
  const passedOver = new Set<Place>()
  let needed = tooFewTravels(side, question)
  for (;;) {
    const open = worth().filter((dial) => !dials.includes(dial) && takes(question, dials, dial, direction))
    const places = side.narrowing.places.filter((place) => !lost.has(place) && !passedOver.has(place))
    if (open.length === 0 || places.length === 0 || dials.length >= MOST_IN_TRAVEL) break
    const worst = places
      .map((place) => ({ place, excess: ownExcessOf(place, side, question) }))
      .reduce((most, one) => (one.excess > most.excess ? one : most))
    if (worst.excess <= 1 && (dials.length >= FEWEST_IN_TRAVEL || !needed)) break
    const choice = bestChoice({ ...side, settable: open }, worst.place)
    const made = choice === null ? 0 : (side.made.get(choice.dial) ?? 0)
    if (choice === null || made >= MOST_AT_SETTING) {
      passedOver.add(worst.place)
      continue
    }
    needed ||= worst.excess > 1
    side.made.set(choice.dial, made + 1)
    side.narrowing.measure(choice.dial)
    dials.push(choice.dial)
  }
  // One more travel among those that the level is the mean of.
  if (dials.length > 0 && levelVariance > 0 && aheadVariance > 0) {
    side.levelVariance = 1 / (1 / levelVariance + 1 / aheadVariance)
  }
  return dials
}
