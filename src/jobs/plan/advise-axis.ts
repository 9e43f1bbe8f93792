import { TablepaceError } from '../../errors/index.js'
import {
  type Advice,
  advise,
  type Instrument,
  type NextRun,
  nextMostUseful,
} from '../../planning/advice/index.js'
import { dialForFeed } from '../../planning/index.js'
import { ofMeanSession, relativeHalfWidth, scatterBefore } from '../../regression/index.js'
import type { MachineAxis, Store } from '../../store/index.js'
import type { Direction } from '../../traverse/index.js'
import { type DialWriting, toMm, writingOf } from '../../units/index.js'
import { dialOf } from '../tables/dial-of-axis.js'
import { earlierStates, withoutOtherStates } from '../tables/machine-state.js'

/** Advice on one feed, and the next most useful run of the axis. */
export interface AxisAdvice extends DialWriting {
  readonly advice: Advice
  readonly direction: Direction
  /** While the feed asked for is not reached it is a run at its setting. */
  readonly next: NextRun | null
  /** Runs that the advice rests on. */
  readonly earlierRuns: number
}

/** Marks so near to the dial asked for are measured in its place, percent of the feed. */
const NEAR_MARK_PERCENT = 1

/**
 * What to measure to know a feed well enough, from the runs that a fit of the axis would use.
 *
 * @param within relative half width that is wanted
 * @throws DataError `not-reachable`
 */
export function adviseAxis(
  store: Store,
  { axis }: MachineAxis,
  asked: {
    readonly feedMmPerMin: number
    readonly within: number
    readonly instrument: Instrument
    readonly direction: Direction
  },
): AxisAdvice {
  const { evidence } = withoutOtherStates(store, axis, store.runs.evidenceFor(axis.id))
  const states = earlierStates(store, axis, store.runs.list(axis.id))
  const options = { ...dialOf(axis), earlier: scatterBefore(states, dialOf(axis)) }
  const advice = advise({
    ...asked,
    ...settingOf(store, axis.id, asked),
    axis: { travelMm: axis.travelMm, dialMin: axis.dialMin, dialMax: axis.dialMax, ...options },
    handyMm: toMm(axis.unit === 'in' ? 0.1 : 1, axis.unit),
    earlier: ofMeanSession(evidence, options),
  })
  const { dial, nowPercent } = advice
  return {
    advice,
    direction: asked.direction,
    next:
      advice.runs > 0 && dial !== null
        ? {
            dial,
            direction: asked.direction,
            because: evidence.some((run) => run.dial === dial && run.direction === asked.direction)
              ? 'widest'
              : 'not-measured',
            nowPercent,
          }
        : nextMostUseful(evidence, axis.marks, options),
    earlierRuns: evidence.length,
    ...writingOf(axis),
  }
}

/** Where the table in force gives the feed, or the mark that gives nearly the same, and how well it knows that. */
function settingOf(
  store: Store,
  axisId: number,
  asked: { readonly feedMmPerMin: number; readonly direction: Direction },
): { dial: number | null; tableHalfWidth: number | null } {
  const table = store.tables.inForce(axisId, asked.direction)
  if (table === null) return { dial: null, tableHalfWidth: null }
  try {
    const { dial, nearestMark, feed } = dialForFeed(table, asked.feedMmPerMin)
    if (Math.abs(nearestMark.offPercent) <= NEAR_MARK_PERCENT) {
      return { dial: nearestMark.dial, tableHalfWidth: relativeHalfWidth(nearestMark.feed) }
    }
    return { dial: Math.round(100 * dial.value) / 100, tableHalfWidth: relativeHalfWidth(feed) }
  } catch (error) {
    // A feed beyond what was measured so far.
    if (error instanceof TablepaceError) return { dial: null, tableHalfWidth: null }
    throw error
  }
}
