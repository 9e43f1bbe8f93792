import type { Direction } from '../units/index.js'
import type { RampsLeft } from './phases/ramps-left.js'

export type { Direction }

/** When a traverse did what, in s of the samples' time. */
export interface Phases {
  /** The table left its rest. */
  readonly startS: number
  /** The steady part that the feed is taken from, guards already cut off. */
  readonly steadyFromS: number
  readonly steadyToS: number
  /** The table was at rest again. */
  readonly endS: number
}

/** Why a traverse was not accepted as evidence. */
type TraverseRejectionCode =
  | 'too-short'
  | 'no-steady-part'
  | 'stopped-midway'
  | 'slipped'
  | 'zeroed-midway'
  | 'unit-switched'
  | 'too-few-samples'
  | 'lines-lost'
  | 'recording-cut'

export interface Rejection {
  readonly code: TraverseRejectionCode
  /** One sentence a machinist understands, with the place and the numbers. */
  readonly message: string
}

/** Something worth telling that does not reject the traverse. */
export interface Warning {
  readonly code: string
  readonly message: string
}

/**
 * What the recording does not show of a traverse: it began while the table moved, it ended while the table moved, or
 * lines are missing in between.
 */
export type CutOff = 'began-moving' | 'ended-moving' | 'lines-lost'

/** Travel from the moment the drive let go to rest. */
export interface Coast {
  readonly distanceMm: number
  readonly standardUncertaintyMm: number
}

/** One movement of the table found in the samples: rest, ramp up, steady travel, coast, rest. */
export interface Traverse {
  readonly direction: Direction
  /** Indices into the samples, `from` inclusive, `to` exclusive: the rests around the motion included. */
  readonly window: { readonly from: number; readonly to: number }
  /** How the traverse was cut off; empty where it was seen whole, from rest to rest. */
  readonly cutOff: readonly CutOff[]
  /** Ramps that may reach into the steady part; none where there is no steady part. */
  readonly rampsLeft: RampsLeft
  /** What other speeds beside the steady part leave uncertain in the feed (standard uncertainty, a share of it). Default 0. */
  readonly otherSpeedShare?: number
  /** Null where no steady part was found. */
  readonly phases: Phases | null
  /** Indices of the samples of the steady part that are kept (outliers left out). */
  readonly steadyIndices: Int32Array
  /** Samples within the window taken out as outliers. */
  readonly outliers: number
  /** Rest to rest, mm, never negative. */
  readonly distanceMm: number
  /** Start to end, s. */
  readonly durationS: number
  readonly coast: Coast | null
  /** Null for an accepted traverse. */
  readonly rejection: Rejection | null
  readonly warnings: readonly Warning[]
}
