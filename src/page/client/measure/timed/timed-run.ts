import type { Timing } from '../../../../ingest/recordings/stopwatch-timer.js'
import { parseDialSetting, parseLengthMm } from '../../../../units/index.js'
import type { PageMachine, StopwatchRequest } from '../../../api.js'
import type { TimedSetting } from '../../model/timed-setting.js'
import { writingOn } from './axis-of-timing.js'

/**
 * A timing with what it was made for, as it is sent.
 *
 * @throws InputError where dial, distance or lines on the way are not understood
 */
export function timedRun(
  setting: TimedSetting,
  { durationS, marksS }: Timing,
  machines: readonly PageMachine[],
): Pick<
  StopwatchRequest,
  'axisId' | 'dial' | 'direction' | 'distanceMm' | 'durationS' | 'marksS' | 'everyMm' | 'step' | 'check'
> {
  const { axisId, dial, direction, distance, every, step, check = false } = setting
  const hasLines = every !== undefined && every.text.trim() !== ''
  return {
    ...{ axisId, direction, durationS, marksS: [...marksS], step, check },
    dial: parseDialSetting(dial, 'Dial setting', writingOn(machines, axisId)),
    distanceMm: parseLengthMm(distance.text, distance.unit, 'Distance'),
    everyMm: hasLines ? parseLengthMm(every.text, every.unit, 'Distance from line to line') : null,
  }
}
