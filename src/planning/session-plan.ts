import type { Direction } from '../traverse/index.js'

/** How a whole calibration goes, read from data. */
export interface Procedure {
  readonly name: string
  readonly title: string
  /** `axis` for the axis' own marks, or dial numbers. */
  readonly marks: 'axis' | readonly number[]
  /** Order of the marks in each pass. */
  readonly passes: readonly ('up' | 'down')[]
  readonly directions: readonly ('+' | '-')[]
  readonly source: 'readout' | 'stopwatch'
  /** A traverse should take at least this long, s, where the travel allows. */
  readonly minimumTravelTimeS: number
  /** No traverse takes more than this share of the axis' travel, 0…1. */
  readonly longestTravelShare: number
  /** Rest before and after each traverse, s. */
  readonly restS: number
  /** Whether the dial is turned away and set anew before each run. */
  readonly resetDial: boolean
  /** Shown before the session starts, one sentence each. */
  readonly cautions: readonly string[]
}

/** What of an axis the plan depends on. */
export interface PlannedAxis {
  readonly marks: readonly number[]
  readonly dialMin: number
  readonly dialMax: number
  readonly stepped: boolean
}

/** One traverse to be made. */
export interface PlanStep {
  /** From 1, in the order to be made. */
  readonly step: number
  readonly dial: number
  readonly direction: Direction
  /** From 1. */
  readonly pass: number
}

export interface SessionPlan {
  readonly procedure: string
  readonly steps: readonly PlanStep[]
}

/** Ordered steps of a procedure on an axis. @throws UsageError `mark-outside-dial`, `no-marks` */
export declare function planSession(procedure: Procedure, axis: PlannedAxis): SessionPlan

/** The first step not done yet, or null when all are. */
export declare function nextStep(plan: SessionPlan, doneSteps: readonly number[]): PlanStep | null

/** How far a session is. */
export declare function sessionProgress(
  plan: SessionPlan,
  doneSteps: readonly number[],
): { readonly done: number; readonly total: number }
