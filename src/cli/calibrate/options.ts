import type { GoodEnough } from '../../jobs/index.js'
import { parseDirection, parsePercent } from '../options.js'
import type { ConditionOptions, LineOptions } from '../traverse/options.js'

/** Options of `calibrate`. */
export interface CalibrateOptions extends LineOptions, ConditionOptions {
  readonly procedure?: string
  readonly stopwatch?: boolean
  readonly distance?: string
  readonly markEvery?: string
  readonly new?: boolean
  readonly within?: string
  readonly percentOnly?: boolean
  readonly direction?: string
  /** Many settings in one travel. */
  readonly sweep?: boolean
}

/** What the session goes on for; null where it follows fixed steps. @throws UsageError `bad-number`, `bad-direction` */
export function goodEnoughOf({ within, percentOnly, direction }: CalibrateOptions): GoodEnough | null {
  if (within === undefined) return null
  return {
    withinPercent: parsePercent(within, '--within'),
    percentAlone: percentOnly === true,
    directions: direction === undefined ? [1, -1] : [parseDirection(direction)],
  }
}
