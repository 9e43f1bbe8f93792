import { NUMBERED } from '../units/index.js'
import type { DirectionData } from './curve-data.js'
import type { PanelPlace } from './panel.js'

/** Marks up to which each is labelled. Judgement: more labels overlap. */
const MARKS_TO_LABEL = 4

/** From the lowest to the highest mark with a little room, labelled at the marks. */
export function dialAxis(
  data: readonly DirectionData[],
): Pick<PanelPlace, 'xDomain' | 'xTicks' | 'xWriting'> {
  const dials = [...new Set(data.flatMap(({ marks }) => marks.map((mark) => mark.dial)))].sort(
    (a, b) => a - b,
  )
  const [low, high] = [dials[0] ?? 0, dials.at(-1) ?? 1]
  const room = high > low ? 0.04 * (high - low) : 1
  const xDomain: [number, number] = [low - room, high + room]
  const { lettered } = data[0]?.table ?? NUMBERED
  return dials.length < MARKS_TO_LABEL && !lettered
    ? { xDomain }
    : { xDomain, xTicks: dials, xWriting: { lettered } }
}
