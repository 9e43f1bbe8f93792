import type { Direction } from '../traverse/index.js'
import type { DialWriting, LengthUnit } from '../units/index.js'
import type { EarlierScatter } from './scatter/earlier-scatter.js'

/** A closed interval `[low, high]` in mm/min. */
export type IntervalMmPerMin = readonly [number, number]

/** The mean feed of a dial setting. `interval95` is null where no run was repeated: no variance, no band. */
export interface FeedEstimate {
  readonly feedMmPerMin: number
  readonly standardUncertaintyMmPerMin: number | null
  readonly interval95: IntervalMmPerMin | null
}

/** What the runs at one mark came to. */
export interface MarkFit extends FeedEstimate {
  readonly dial: number
  readonly runs: number
  /** Where the feed lies with 95 % probability the next time this dial is set. */
  readonly nextSetting95: IntervalMmPerMin | null
}

/** One point of the fitted dial curve. */
export interface CurvePoint extends FeedEstimate {
  readonly dial: number
  readonly nextSetting95: IntervalMmPerMin | null
}

/** One run as evidence for a table. */
export interface RunEvidence {
  readonly runId: string
  readonly dial: number
  readonly direction: Direction
  readonly feedMmPerMin: number
  /** From this run alone: reading and clock, not what changes from run to run. */
  readonly standardUncertaintyMmPerMin: number
  readonly source: 'readout' | 'stopwatch'
  /** Distance and time as a person wrote them down, for telling a slip of the pen; left out for a readout. */
  readonly entry?: { readonly distanceMm: number; readonly durationS: number }
  /** When the run was made, s from any origin that the runs share; left out where nothing says. */
  readonly timeS?: number
  /** Runs with the same text here were made without touching the dial between them; left out: a setting of its own. */
  readonly setting?: string
  /** Runs with the same text here were made in one travel, the dial turned on the way: what changes from run to run is common to them. */
  readonly travel?: string
  /** The measuring session, such as a day, that it was made in; left out: one that all such runs share. */
  readonly session?: string
  /** Suspected to be odd: its uncertainty is widened, and its mark's plain mean and slope are those of the other runs. */
  readonly setAside?: boolean
}

/** Run-to-run and dial-reset scatter learned from all marks (posterior means). */
export interface NoiseSummary {
  /** Relative run-to-run standard deviation, for example 0.005. */
  readonly runRelative: number
  /** Standard deviation of setting the dial again, in dial units. */
  readonly dialReset: number
  /** Degrees of freedom the repeats give. */
  readonly degreesOfFreedom: number
}

/** What the user must know of a table. */
export interface TableWarning {
  readonly code: string
  /** One or two whole sentences. */
  readonly message: string
  /** The runs that it is about, where it is about runs. */
  readonly runIds?: readonly string[]
  /** The marks that it is about, where it is about marks: lookups that rest on them repeat it. */
  readonly dials?: readonly number[]
}

/** One direction's fitted feeds, before the store gives it machine, axis and version. All mm/min. */
export interface FittedDirection {
  readonly direction: Direction
  /** In rising dial order. */
  readonly marks: readonly MarkFit[]
  /** At least 101 points from the lowest to the highest measured dial; empty on a stepped dial. */
  readonly curve: readonly CurvePoint[]
  readonly runIds: readonly string[]
  /** What the user must know of this fit, one sentence each (too few runs, few marks, feeds that creep). */
  readonly warnings: readonly TableWarning[]
}

/** How the two directions differ at the marks they share. */
export interface DirectionDifference {
  /** Of the minus direction against the plus direction, percent. */
  readonly percent: number
  readonly interval95Percent: readonly [number, number]
  readonly verdict: 'same' | 'different' | 'undecided'
}

/** How the feed changes while the drive warms up, from the start of a sitting to the end of the longest one. */
export interface WarmUp {
  readonly changePercent: number
  readonly interval95Percent: readonly [number, number]
  /** How long the longest sitting was, s. */
  readonly sittingS: number
  /** Whether it was taken out: the table then describes the drive as warm as at the end of the longest sitting. */
  readonly takenOut: boolean
}

/** One of several sessions that a table was made from: by how much it lay off their mean, and what was taken off its runs. */
export interface TableSession {
  readonly session: string
  readonly runs: number
  readonly shiftPercent: number
  readonly interval95Percent: readonly [number, number]
}

/** The result of fitting all directions of an axis together. */
export interface FittedAxis {
  readonly directions: readonly FittedDirection[]
  readonly difference: DirectionDifference | null
  readonly noise: NoiseSummary | null
  /** Left out where the runs cannot show how the feed changes with time. */
  readonly warmUp?: WarmUp
  /** What earlier tables of the axis told beforehand of the scatter; left out for none. */
  readonly earlierScatter?: EarlierScatter
  /** Left out where all runs were made in one session. */
  readonly sessions?: readonly TableSession[]
}

/** Name and version of the method that made a table; a changed number of any kind raises the version. */
export interface MethodId {
  readonly name: string
  readonly version: string
}

/** A table version as kept and handed on. Feeds in mm/min; `unit` is the machine's own. */
export interface FeedTable extends DialWriting {
  readonly machine: string
  readonly axis: string
  readonly direction: Direction
  readonly version: number
  /** ISO 8601, UTC. */
  readonly fittedAt: string
  readonly unit: LengthUnit
  readonly stepped: boolean
  readonly marks: readonly MarkFit[]
  readonly curve: readonly CurvePoint[]
  readonly runIds: readonly string[]
  readonly method: MethodId
  readonly hash: string
  /** Whether the scatter behind the intervals was measured by repeats, or assumed; left out where nothing tells. */
  readonly scatter?: 'assumed' | 'measured'
  /** Marks and curve as stored, for the days they were measured on, where this is the table told for another day. */
  readonly asMeasured?: Pick<FeedTable, 'marks' | 'curve'>
  /** How far at most `interval95` reaches from the feed along the curve, in the logarithm; left out where nothing tells. */
  readonly reach95?: number
  /** What the fit had to say; left out where the table came from a file that does not tell. No part of the hash. */
  readonly warnings?: readonly TableWarning[]
}
