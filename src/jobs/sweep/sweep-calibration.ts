import { sentence, UsageError, way } from '../../errors/index.js'
import { onceThrough } from '../../planning/index.js'
import type { Axis, Recording, Store } from '../../store/index.js'
import type { Direction } from '../../traverse/index.js'
import { RECHECK_TAG } from '../live/run-conditions.js'
import { settingsOf } from '../readout/readout-settings.js'
import { SweepSession } from './sweeps.js'

/** Runs of every mark each way: with two, how far settings scatter is measured and not assumed. */
const PASSES = 2

/** What a table made by travels through many settings names as its reason. */
export const SWEEP_CALIBRATION = 'calibration: many settings in one travel'

/**
 * The travels of a calibration: every mark twice in each of these directions.
 *
 * @param sinceIso runs made from then on count, so that travels which were broken off can be gone on with
 * @throws UsageError `no-marks`
 */
export function sweepCalibration(
  store: Store,
  axis: Axis,
  directions: readonly Direction[],
  sinceIso: string,
): SweepSession {
  if (axis.marks.length < 2) {
    throw new UsageError(
      'no-marks',
      `The settings to turn through on axis ${axis.name} are not entered.`,
      sentence`Enter at least two marks${way('enter-marks')}.`,
    )
  }
  const runs = axis.marks.map((dial) => ({ dial, runs: PASSES }))
  return new SweepSession(store, axis, { runs, directions, order: onceThrough, sinceIso })
}

/**
 * From when on runs count for a calibration by travels that is begun now: the beginning of the travels made last in this
 * session, so that those that were broken off are gone on with; a new table, another kind of run or a recheck between
 * ends them.
 *
 * @returns `nowIso` where there are none
 */
export function travelsBegan(store: Store, axis: Axis, nowIso: string): string {
  const session = store.recordings.presentSession(axis.id, nowIso)
  const fittedAt = ([1, -1] as const).map((way) => store.tables.inForce(axis.id, way)?.fittedAt ?? '')
  const isOne = (recording: Recording) =>
    recording.sessionName === session &&
    fittedAt.every((at) => recording.startedAt > at) &&
    recording.source === 'readout' &&
    settingsOf(recording).turned !== undefined &&
    recording.tags[RECHECK_TAG] === undefined
  const recordings = store.recordings.list(axis.id)
  const before = recordings.findLastIndex((recording) => !isOne(recording))
  return recordings[before + 1]?.startedAt ?? nowIso
}

/** What such a calibration is likely to take when it begins now; null where the axis has too few marks for one. */
export function expectedSweeps(
  store: Store,
  axis: Axis,
  directions: readonly Direction[],
  nowIso: string,
): { readonly runs: number; readonly minutes: number } | null {
  if (axis.marks.length < 2) return null
  const { missing, outlook } = sweepCalibration(store, axis, directions, nowIso)
  return { runs: missing, minutes: outlook.minutesLeft }
}
