import { sentence, UsageError, way } from '../../errors/index.js'
import type { Axis, DialSetting } from '../../store/index.js'

/**
 * Refuses a setting the dial does not have.
 *
 * @throws UsageError `dial-outside-range`, `not-a-mark`
 */
export function checkDial(axis: Axis, dial: DialSetting): DialSetting {
  if (dial === 'rapid') return dial
  const { dialMin, dialMax, marks, stepped, name } = axis
  if (dial < dialMin || dial > dialMax) {
    throw new UsageError(
      'dial-outside-range',
      `Dial ${dial} is outside the dial of axis ${name}, which goes from ${dialMin} to ${dialMax}.`,
      sentence`Give a number between them, or change the numbers of the dial${way('change-dial', { axis: name })}.`,
    )
  }
  if (stepped && marks.length > 0 && !marks.includes(dial)) {
    throw new UsageError(
      'not-a-mark',
      `Axis ${name} has a stepped dial without a mark ${dial}.`,
      `Its marks are ${marks.join(', ')}.`,
    )
  }
  return dial
}
