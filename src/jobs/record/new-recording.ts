import type { Axis, DialSetting, NewRecording } from '../../store/index.js'
import { storedSettings } from '../readout/readout-settings.js'
import type { ReadoutTake, TakeConditions } from './takes.js'

/** What a recording that begins now is known by. */
export function newRecording(
  axis: Axis,
  take: Omit<ReadoutTake, 'lines'>,
  conditions: TakeConditions,
): NewRecording {
  return {
    ...commonFields(axis, take, conditions),
    ...(take.settings.turned === undefined ? {} : { dial: null }),
    source: 'readout',
    note: conditions.note,
    ...storedSettings(take.settings),
  }
}

/** What every recording of a take is known by, whatever it was timed with. */
export function commonFields(
  axis: Axis,
  take: { dial: DialSetting; origin: string },
  conditions: TakeConditions,
) {
  return {
    axisId: axis.id,
    sessionId: conditions.session?.id ?? null,
    step: conditions.session?.step ?? null,
    dial: take.dial,
    dialReset: conditions.dialReset,
    origin: take.origin,
    tags: conditions.tags,
    startedAt: conditions.startedAt,
    ...(conditions.sessionName === undefined ? {} : { sessionName: conditions.sessionName }),
    ...(conditions.check === undefined ? {} : { check: conditions.check }),
  }
}
