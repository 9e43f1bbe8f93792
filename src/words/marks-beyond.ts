import { marksFit, type PressedTraverse } from '../jobs/index.js'
import { countOf } from '../text/index.js'
import { formatLength, type LengthUnit } from '../units/index.js'

/** Said where presses on the way cannot be those of the lines that were named; null where they can, or none were. */
export function marksBeyond(pressed: PressedTraverse, unit: LengthUnit): string | null {
  const { distanceMm, everyMm, marksS } = pressed
  if (marksS.length === 0 || everyMm === null || marksFit(pressed)) return null
  return `${countOf(marksS.length, 'mark')} on the way, one every ${formatLength(everyMm, unit)}, cannot lie within ${formatLength(distanceMm, unit)}: only the first press and the last tell the feed.`
}
