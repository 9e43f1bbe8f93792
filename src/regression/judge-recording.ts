import type { IngestedSamples, LineRejectionCode } from '../ingest/index.js'
import type { Traverse, Warning } from '../traverse/index.js'
import type { RunFeed } from './run-feed.js'

/** Rate of the readout's clock, fitted over a whole session. */
export interface ClockRate {
  /** Host seconds in one device second. */
  readonly rate: number
  readonly standardUncertainty: number
}

export interface JudgeOptions {
  /** Pitch of the leadscrew, mm, where it is known. */
  readonly leadscrewPitchMm?: number
  /** Rate of the device clock over the session; without it the samples' device times are not used. */
  readonly deviceClock?: ClockRate
}

/** One traverse of a recording, judged. */
export interface JudgedRun {
  readonly traverse: Traverse
  /** Null where the traverse is rejected. */
  readonly feed: RunFeed | null
  /** Which clock the feed was taken from. */
  readonly clock: 'host' | 'device'
  readonly samples: {
    /** Lines and samples that came within the traverse's window. */
    readonly read: number
    /** Samples that the feed was fitted to. */
    readonly used: number
    readonly rejected: Readonly<Partial<Record<LineRejectionCode | 'outlier', number>>>
  }
  readonly warnings: readonly Warning[]
}

export type Recording = Pick<IngestedSamples, 'samples' | 'rejected' | 'positionStepMm'>
