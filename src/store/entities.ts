import type {
  DirectionDifference,
  FeedTable,
  FittedAxis,
  FittedDirection,
  MethodId,
  NoiseSummary,
  RunEvidence,
  RunFeed,
} from '../regression/index.js'
import type { Direction, Phases, Warning } from '../traverse/index.js'
import type { LengthUnit } from '../units/index.js'

/** The number on the dial, or the rapid traverse, which has no number and stays out of the curve. */
export type DialSetting = number | 'rapid'

/** How the travel was timed. */
export type RunSource = 'readout' | 'stopwatch'

export interface NewMachine {
  /** Unique (capitals aside) among the machines that are not removed. */
  readonly name: string
  readonly unit: LengthUnit
  /** Spindle speeds the machine has, rpm; empty where unknown. */
  readonly spindleRpm: readonly number[]
}

export interface Machine extends NewMachine {
  readonly id: number
  /** ISO 8601, UTC, like every time here. */
  readonly createdAt: string
  readonly removedAt: string | null
}

export interface NewAxis {
  readonly name: string
  readonly travelMm: number
  readonly dialMin: number
  readonly dialMax: number
  /** Marks on the dial, rising; empty where none were named. */
  readonly marks: readonly number[]
  /** True where the dial has only its marks and nothing between. */
  readonly stepped: boolean
  readonly leadscrewPitchMm: number | null
  /** True where the dial clicks into place or is digital, so that setting it again adds no scatter. */
  readonly dialClicks: boolean
}

export interface Axis extends NewAxis {
  readonly id: number
  readonly machineId: number
  readonly createdAt: string
  readonly removedAt: string | null
}

export interface MachineAxis {
  readonly machine: Machine
  readonly axis: Axis
}

export interface NewSession {
  readonly axisId: number
  /** Name of the procedure followed. */
  readonly procedure: string
  /** The session plan as the planner made it; kept whole, so that a later planner cannot change it midway. */
  readonly plan: unknown
  readonly source: RunSource
  readonly startedAt: string
}

/** A guided calibration, in progress until `endedAt` is set. */
export interface Session extends NewSession {
  readonly id: number
  readonly endedAt: string | null
}

export interface NewRecording {
  readonly axisId: number
  readonly sessionId: number | null
  /** Step of the session's plan, or null outside a session. */
  readonly step: number | null
  readonly source: RunSource
  readonly dial: DialSetting | null
  /** Whether the dial was set anew before this recording. */
  readonly dialReset: boolean
  /** File name or port the lines came from, or `keyboard`. */
  readonly origin: string
  /** Readout profile and line format, as JSON: what judging the lines again needs. */
  readonly readout: unknown
  /** Unit of bare numbers and size of a count, as JSON: what judging the lines again needs. */
  readonly units: unknown
  readonly tags: Readonly<Record<string, string>>
  readonly note: string | null
  readonly startedAt: string
}

/** Raw evidence: lines of a readout, or one stopwatch entry. */
export interface Recording extends NewRecording {
  /** ULID. */
  readonly id: string
  /** Null while lines may still come, or where the program was stopped before the end. */
  readonly endedAt: string | null
}

/** One stopwatch entry as it was entered; never changed. */
export interface StopwatchRecord {
  readonly distanceMm: number
  readonly durationS: number
  readonly direction: Direction
  /** Marks pressed along the way, as JSON, or null. */
  readonly marks: unknown
}

/** What judging one traverse of a recording came to. */
export interface RunJudgement {
  readonly direction: Direction
  /** Null for an accepted run. */
  readonly rejection: { readonly code: string; readonly message: string } | null
  /** Never null for an accepted run. `degreesOfFreedom` may be Infinity. */
  readonly feed: RunFeed | null
  readonly phases: Phases | null
  readonly distanceMm: number
  readonly durationS: number
  readonly coast: { readonly distanceMm: number; readonly standardUncertaintyMm: number | null } | null
  readonly samples: {
    readonly read: number
    readonly used: number
    readonly rejected: Readonly<Record<string, number>>
  }
  readonly warnings: readonly Warning[]
  /** Name and version of the method that judged, for example `steady-slope 1`. */
  readonly judgedWith: string
  /** Part of the recording the run lies in, s of the recording's time; null for a stopwatch entry. */
  readonly window: { readonly startS: number; readonly endS: number } | null
}

/** One traverse of one recording, judged. */
export interface Run extends RunJudgement {
  /** ULID; kept for ever, also when the run is judged again. */
  readonly id: string
  readonly recordingId: string
  readonly axisId: number
  readonly sessionId: number | null
  readonly step: number | null
  /** Place of the run within its recording, from 0. */
  readonly ordinal: number
  readonly source: RunSource
  readonly dial: DialSetting
  readonly dialReset: boolean
  readonly tags: Readonly<Record<string, string>>
  readonly note: string | null
  readonly accepted: boolean
  /** When the user dropped the run, or null. */
  readonly droppedAt: string | null
  readonly dropReason: string | null
  readonly createdAt: string
}

export interface RunFilter {
  readonly direction?: Direction
  readonly source?: RunSource
  readonly dial?: DialSetting
  readonly sessionId?: number
  /** Runs created at or after this time. */
  readonly since?: string
  /** Runs created at or before this time. */
  readonly until?: string
  readonly runIds?: readonly string[]
  /** Every key must be there with this value. */
  readonly tags?: Readonly<Record<string, string>>
}

/** A run that does not serve as evidence, and why. */
export interface LeftOutRun {
  readonly runId: string
  readonly code: 'rejected' | 'dropped' | 'rapid' | 'outside-dial'
  readonly message: string
}

export interface Evidence {
  /** In the order the runs were made. */
  readonly evidence: readonly RunEvidence[]
  readonly leftOut: readonly LeftOutRun[]
}

export interface NewFit {
  readonly axisId: number
  readonly fitted: FittedAxis
  readonly method: MethodId
  readonly fittedAt: string
  /** Why it was fitted again, in the user's words, or null. */
  readonly reason: string | null
}

/** A table version as stored: what the lookups need, and what the fit knew besides. */
export interface StoredTable extends FeedTable {
  readonly warnings: FittedDirection['warnings']
  /** Version in force before this one, or null for the first. */
  readonly parentVersion: number | null
  readonly reason: string | null
  readonly difference: DirectionDifference | null
  readonly noise: NoiseSummary | null
}

/** A line of the list of versions. */
export interface TableSummary {
  readonly direction: Direction
  readonly version: number
  readonly fittedAt: string
  readonly method: MethodId
  readonly hash: string
  readonly marks: number
  readonly runs: number
  readonly warnings: FittedDirection['warnings']
  readonly parentVersion: number | null
  readonly reason: string | null
}

export interface NewRecheck {
  readonly axisId: number
  readonly at: string
  readonly reason: string
  readonly withinPercent: number
  readonly verdict: 'holds' | 'moved' | 'undecided'
  /** The whole answer, as JSON. */
  readonly result: unknown
  readonly runIds: readonly string[]
  /** The tables that were checked. */
  readonly tables: readonly { readonly direction: Direction; readonly version: number }[]
}

export interface Recheck extends NewRecheck {
  readonly id: number
}

/** A change to what is known of a machine, an axis or a run; `before` or `after` is null where there was none. */
export interface ChangeEntry {
  readonly at: string
  readonly subject: 'machine' | 'axis' | 'run'
  readonly subjectId: string
  readonly action: 'add' | 'change' | 'remove' | 'restore' | 'drop' | 'keep' | 'judge-again'
  readonly before: unknown
  readonly after: unknown
}

/** What was done to an axis, newest last. */
export type HistoryEntry =
  | ({ readonly kind: 'table' } & TableSummary)
  | ({ readonly kind: 'recheck' } & Recheck)
  | ({ readonly kind: 'change' } & ChangeEntry)

export interface IntegrityReport {
  readonly sound: boolean
  /** One sentence each; empty where the store is sound. */
  readonly problems: readonly string[]
}
