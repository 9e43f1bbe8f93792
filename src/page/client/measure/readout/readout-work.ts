import type { Direction } from '../../../../traverse/index.js'
import type { LiveState, SessionState, SweepState } from '../../../api.js'

/** What the runs by readout are made for. */
export type ReadoutWork =
  | { readonly kind: 'session'; readonly session: SessionState }
  /** What a guided recheck lacks, in travels in which the dial is turned. */
  | { readonly kind: 'recheck-travels'; readonly session: SessionState }
  /** A run of its own; a check run teaches how the machine feeds today, and no mark. */
  | { readonly kind: 'single'; readonly check: boolean }
  /** Travels in which the dial is turned through all marks. */
  | {
      readonly kind: 'sweep'
      readonly directions: readonly Direction[]
      readonly withinPercent: number | null
    }

export function isByTravels({ kind }: ReadoutWork): boolean {
  return kind === 'sweep' || kind === 'recheck-travels'
}

/** The travels of this axis that are made for this work; null where there are none. */
export function travelsShown(live: LiveState, axisId: number, { kind }: ReadoutWork): SweepState | null {
  return kind === 'recheck-travels' ? recheckTravels(live, axisId) : calibrationTravels(live, axisId)
}

/** The travels of a calibration of this axis; null where there are none. */
export function calibrationTravels({ sweep }: LiveState, axisId: number): SweepState | null {
  return sweep?.axisId === axisId && !sweep.ofRecheck ? sweep : null
}

/** The travels of a recheck of this axis; null where none is recorded. */
export function recheckTravels({ sweep }: LiveState, axisId: number): SweepState | null {
  return sweep?.axisId === axisId && sweep.ofRecheck ? sweep : null
}
