import type { FitOptions } from '../../regression/index.js'
import type { Axis } from '../../store/index.js'
import { writingOf } from '../../units/index.js'

/** What the fit has to know of the dial of an axis. */
export function dialOf(axis: Axis): FitOptions {
  const { stepped, dialClicks } = axis
  return { stepped, dialClicks, ...writingOf(axis) }
}
