import type { RunEvidence, RunFeed } from '../regression/index.js'
import type { Direction, Phases, Warning } from '../traverse/index.js'

/** The number on the dial, or the rapid traverse, which has no number and stays out of the curve. */
export type DialSetting = number | 'rapid'

/** How the travel was timed. */
export type RunSource = 'readout' | 'stopwatch'

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
  /** Readout profile and line format, or how sure a stopwatch's presses are, as JSON: what judging it again needs. */
  readonly readout: unknown
  /** Unit of bare numbers and size of a count, as JSON: what judging the lines again needs. */
  readonly units: unknown
  readonly tags: Readonly<Record<string, string>>
  readonly note: string | null
  readonly startedAt: string
  /** The measuring session by the name that the user gave; left out, the date tells it. */
  readonly sessionName?: string
  /** A check run: it tells of its session alone and makes no mark. */
  readonly check?: boolean
}

/** Raw evidence: lines of a readout, or one stopwatch entry. */
export interface Recording extends NewRecording {
  /** ULID. */
  readonly id: string
  /** Null while lines may still come, or where the program was stopped before the end. */
  readonly endedAt: string | null
  /** The measuring session, such as a day: as it was named, else by the date. */
  readonly sessionName: string
  readonly check: boolean
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
  /** Null for a stopwatch entry, and for a run that was judged before this was kept. */
  readonly clock: RunClock | null
}

/** The clock that a run's feed was timed by. */
interface RunClock {
  readonly kind: 'host' | 'device'
  /** What the clock and the way of its readings leave in the standard uncertainty of the feed, mm/min. */
  readonly uncertaintyMmPerMin: number
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
  /** The measuring session, such as a day: as it was named, else by the date. */
  readonly sessionName: string
  /** It tells of its session alone and makes no mark. */
  readonly check: boolean
  readonly accepted: boolean
  /** When the user dropped the run, or null. */
  readonly droppedAt: string | null
  readonly dropReason: string | null
  readonly createdAt: string
  /** When its recording began, where it was made live; null where it was read in later. */
  readonly recordedLiveAt: string | null
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
  readonly code:
    | 'rejected'
    | 'dropped'
    | 'cutting'
    | 'rapid'
    | 'outside-dial'
    | 'before-move'
    | 'recheck-open'
    | 'check'
  readonly message: string
}

export interface Evidence {
  /** In the order the runs were made. */
  readonly evidence: readonly RunEvidence[]
  readonly leftOut: readonly LeftOutRun[]
}
