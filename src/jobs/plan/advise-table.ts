import {
  type NextForTable,
  nextForTable,
  type Setting,
  type TableQuestion,
} from '../../planning/good-enough/index.js'
import { GUARDS_S, HOLD_S, HOLD_TURNS, type Procedure } from '../../planning/index.js'
import { builtInProcedure } from '../../planning/procedures/index.js'
import { fitAxis, scatterBefore } from '../../regression/index.js'
import type { Axis, RunSource, Store } from '../../store/index.js'
import type { Direction } from '../../traverse/index.js'
import { type DialWriting, writingOf } from '../../units/index.js'
import { dialOf } from '../tables/dial-of-axis.js'
import { earlierStates, withoutOtherStates } from '../tables/machine-state.js'
import { minutesAt } from './session-pace.js'

/** When a table is good enough, as a person asks it. */
export interface GoodEnough {
  /** Half width of the 95 % interval of the mean that is wanted everywhere, percent. */
  readonly withinPercent: number
  /** Take that alone, also where setting the knob scatters so much that knowing the mean better gains nothing. */
  readonly percentAlone: boolean
  readonly directions: readonly Direction[]
}

/** How far a table is from good enough, and how many runs and minutes it is likely to take. */
export interface TableStanding extends Pick<NextForTable, 'reached' | 'worst' | 'runs'>, DialWriting {
  readonly goodEnough: GoodEnough
  /** What to do next; null where nothing is worth doing. */
  readonly next: object | null
  /** Minutes that the likely runs take. */
  readonly minutes: number
}

/** What to measure next for a table that is to be good enough, and how long it is likely to take. */
export interface TableAdvice extends NextForTable, TableStanding {
  readonly next: NextForTable['next']
}

/**
 * What to measure for a whole table, from the runs that a fit of the axis would use.
 *
 * @param without settings at which no run could be had
 */
export function adviseTable(
  store: Store,
  axis: Axis,
  goodEnough: GoodEnough,
  source: RunSource,
  without: readonly Setting[] = [],
): TableAdvice {
  const answer = nextForTable(tableQuestion(store, axis, goodEnough, without))
  const procedure = goodEnoughProcedure(goodEnough, source)
  return {
    ...answer,
    ...writingOf(axis),
    goodEnough,
    minutes: minutesAt(store, axis, answer.likely, procedure),
  }
}

/** What is asked of a whole table, with the runs that a fit of the axis would use and their fit. */
export function tableQuestion(
  store: Store,
  axis: Axis,
  goodEnough: GoodEnough,
  without: readonly Setting[],
): TableQuestion {
  const { evidence } = withoutOtherStates(store, axis, store.runs.evidenceFor(axis.id))
  const { marks, dialMin, dialMax } = axis
  const states = earlierStates(store, axis, store.runs.list(axis.id))
  const options = { ...dialOf(axis), earlier: scatterBefore(states, dialOf(axis)) }
  return {
    within: goodEnough.withinPercent / 100,
    percentAlone: goodEnough.percentAlone,
    directions: goodEnough.directions,
    axis: { marks, dialMin, dialMax, ...options },
    runs: evidence,
    fitted: evidence.length === 0 ? null : fitAxis(evidence, options),
    without,
  }
}

/** Name that sessions which go on until the table is good enough go by. */
export const GOOD_ENOUGH = 'good-enough'

/**
 * Share of the time asked for that a traverse has to take. A procedure says how long one takes at least as it says it to the
 * person: "about 20 s". A hand on the lever is not a stopwatch, so a tenth less is taken. Common practice, no source.
 */
export const TAKEN_FOR_ABOUT = 0.9

/**
 * How long a run by readout takes at least, s, and how many turns of the leadscrew. Derived: as long as a setting is held
 * while the table travels, because longer runs would tell no more; a tenth more turns than those that show the ripple,
 * since a person stops the table a tenth too soon.
 */
export const READOUT_RUN = {
  minimumTravelTimeS: HOLD_S + GUARDS_S,
  minimumTurns: HOLD_TURNS / TAKEN_FOR_ABOUT,
} as const

/** How the runs of such a session are made: as those of a fixed procedure, in an order of their own. */
export function goodEnoughProcedure(
  { withinPercent }: Pick<GoodEnough, 'withinPercent'>,
  source: RunSource,
): Procedure {
  const usual = builtInProcedure(source === 'stopwatch' ? 'stopwatch' : 'standard')
  return {
    ...usual,
    name: GOOD_ENOUGH,
    title: `Run by run, until every place is known to ± ${withinPercent} %${source === 'stopwatch' ? ', by stopwatch' : ''}`,
    ...(source === 'stopwatch' ? {} : READOUT_RUN),
    // The last one of the readout's is about the order of fixed steps.
    cautions: source === 'stopwatch' ? usual.cautions : usual.cautions.slice(0, 2),
  }
}
