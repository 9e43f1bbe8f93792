import type { HostClock, openReconnectingReadout } from '../../ingest/index.js'
import type { PlanStep, Procedure } from '../../planning/index.js'
import type { DialSetting } from '../../store/index.js'
import type { Direction } from '../../traverse/index.js'
import type { PortLink } from '../readout/port-link.js'
import type { ReadoutSettings } from '../readout/readout-settings.js'
import type { TakeConditions } from '../record/takes.js'
import type { Sweeps } from '../sweep/sweeps.js'
import type { GuidedSession } from './guided-session.js'

/** Where the lines come from, and how they are to be read. */
export interface LiveSource {
  readonly path: string
  readonly link: PortLink
  readonly settings: ReadoutSettings
  /** How long a lost port is waited for, s; left out for the usual time. */
  readonly waitS?: number
}

/** What a live session has of the world besides the store; the defaults are this computer's. */
export interface LiveWorld {
  readonly clock?: HostClock
  /** Now, as the store keeps times. */
  readonly nowIso?: () => string
  readonly openPort?: typeof openReconnectingReadout
}

/** Conditions of the recordings of one work; the session adds when, and for which step. */
type WorkConditions = Omit<TakeConditions, 'startedAt' | 'session'>

/**
 * What a live session is to record: one traverse for itself, travels through several settings, or the steps of a guided
 * session one after the other.
 */
export type LiveWork =
  | { readonly kind: 'run'; readonly dial: DialSetting; readonly conditions: WorkConditions }
  | {
      readonly kind: 'sweep'
      readonly sweeps: Sweeps
      /** With the guided session where the travels make the runs of one. */
      readonly conditions: Omit<TakeConditions, 'startedAt'>
    }
  | {
      readonly kind: 'steps'
      readonly session: GuidedSession
      readonly procedure: Procedure
      readonly conditions: WorkConditions
    }

/** A recording under way. */
export interface UnderWay {
  readonly work: LiveWork
  /** The step that it is made for, in a guided session. */
  readonly step: PlanStep | null
  /** It began when a lost readout came back, so that the table may have been moving. */
  readonly afterLoss: boolean
  /** The direction that a travel through several settings was planned for; left out where either way will do. */
  readonly direction?: Direction | null
}
