import type { ConditionOptions, LineOptions } from '../traverse/options.js'

/** Options of `calibrate`. */
export interface CalibrateOptions extends LineOptions, ConditionOptions {
  readonly procedure?: string
  readonly stopwatch?: boolean
  readonly distance?: string
  readonly new?: boolean
  readonly within?: string
  readonly percentOnly?: boolean
  readonly direction?: string
  /** Many settings in one travel. */
  readonly sweep?: boolean
}
