import { DataError, sentence, way } from '../../errors/index.js'
import { fitAxis, type MarkFit } from '../../regression/index.js'
import type { Axis, Store } from '../../store/index.js'
import { type Direction, directionSign } from '../../units/index.js'
import { withoutOtherStates } from './machine-state.js'

/** The feed of the rapid traverse in one direction. */
interface RapidFeed {
  readonly direction: Direction
  readonly feed: Omit<MarkFit, 'dial'>
}

/**
 * The feed of the rapid traverse from its runs: a mark of its own, outside the dial curve and without a knob to set.
 *
 * @param wanted the direction; null for plus, or the only one that was measured
 * @throws DataError `too-few-runs` where no run of the rapid traverse counts
 */
export function rapidFeed(store: Store, axis: Axis, wanted: Direction | null): RapidFeed {
  const { evidence } = withoutOtherStates(store, axis, store.runs.rapidEvidence(axis.id))
  const runs = wanted === null ? evidence : evidence.filter((run) => run.direction === wanted)
  if (runs.length === 0) {
    throw new DataError(
      'too-few-runs',
      `No run of the rapid traverse counts yet${wanted === null ? '' : ` in direction ${directionSign(wanted)}`}.`,
      sentence`Record two or more with rapid as the dial setting${way('traverse')}.`,
    )
  }
  const { directions } = fitAxis(evidence, { stepped: true, dialClicks: true })
  const found = directions.find((one) => one.direction === (wanted ?? 1)) ?? directions[0]!
  const { dial: _, ...feed } = found.marks[0]!
  return { direction: found.direction, feed }
}
