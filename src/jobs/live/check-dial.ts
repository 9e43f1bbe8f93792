import { sentence, UsageError, way } from '../../errors/index.js'
import type { Axis, DialSetting } from '../../store/index.js'
import { writeDial } from '../../units/index.js'

/**
 * Refuses a setting the dial does not have.
 *
 * @throws UsageError `dial-outside-range`, `not-a-mark`
 */
export function checkDial(axis: Axis, dial: DialSetting): DialSetting {
  if (dial === 'rapid') return dial
  const { dialMin, dialMax, marks, stepped, name } = axis
  const told = (setting: number) => writeDial(setting, axis)
  const kind = axis.lettered ? 'letter' : 'number'
  if (dial < dialMin || dial > dialMax) {
    throw new UsageError(
      'dial-outside-range',
      `Dial ${told(dial)} is outside the dial of axis ${name}, which goes from ${told(dialMin)} to ${told(dialMax)}.`,
      sentence`Give a ${kind} between them, or change the ${kind}s of the dial${way('change-dial', { axis: name })}.`,
    )
  }
  if (stepped && marks.length > 0 && !marks.includes(dial)) {
    throw new UsageError(
      'not-a-mark',
      `Axis ${name} has a stepped dial without a mark ${told(dial)}.`,
      `Its marks are ${marks.map(told).join(', ')}.`,
    )
  }
  return dial
}
