import type { Direction } from '../../../../traverse/index.js'
import type { SessionState } from '../../../api.js'

/** What the runs by readout are made for. */
export type ReadoutWork =
  | { readonly kind: 'session'; readonly session: SessionState }
  /** A run of its own; a check run teaches how the machine feeds today, and no mark. */
  | { readonly kind: 'single'; readonly check: boolean }
  /** Travels in which the dial is turned through all marks. */
  | {
      readonly kind: 'sweep'
      readonly directions: readonly Direction[]
      readonly withinPercent: number | null
    }
