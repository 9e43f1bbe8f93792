/** What page and server say to each other while runs are made. */

import type { RecheckAsked, SweepCue } from '../jobs/index.js'
import type { PlanStep } from '../planning/index.js'
import type { DialSetting, RunSource } from '../store/index.js'
import type { Direction, Phases } from '../traverse/index.js'

/** A run as the page shows it. */
export interface PageRun {
  readonly id: string
  readonly dial: DialSetting
  readonly direction: Direction
  readonly source: RunSource
  readonly createdAt: string
  readonly feedMmPerMin: number | null
  readonly interval95: readonly [number, number] | null
  readonly distanceMm: number
  readonly durationS: number
  readonly phases: Phases | null
  /** Why the run cannot serve, in a sentence, or null. */
  readonly rejection: string | null
  readonly warnings: readonly string[]
  /** The other runs make it unlikely; a warning says so, and the page offers to make it again. */
  readonly odd: boolean
  /** A check run: it tells of its day alone. */
  readonly check: boolean
  /** From before the feeds were found to have changed: a new table leaves it out. Only in the list of an axis' runs. */
  readonly beforeMove?: boolean
  readonly droppedAt: string | null
  readonly dropReason: string | null
  /** Conditions, such as the load. */
  readonly tags: Readonly<Record<string, string>>
  readonly note: string | null
}

/** How a guided session stands. */
export interface SessionState {
  readonly id: number
  readonly procedure: string
  readonly title: string
  readonly source: RunSource
  /** What is asked where the session is a recheck, else null. */
  readonly recheck: RecheckAsked | null
  /** What to know of its runs before they are made: that none can decide, or that they often do not. */
  readonly outlook: string | null
  readonly cautions: readonly string[]
  readonly resetDial: boolean
  readonly steps: readonly (PlanStep & { readonly done: boolean })[]
  readonly next: NextStep | null
  /** Minutes that the rest is likely to take. */
  readonly minutesLeft: number
  /** The same where the dial is turned while the table travels; null where that cannot be done. */
  readonly travels: { readonly minutesLeft: number; readonly travelsLeft: number } | null
  /** How far the table is from good enough; null where the steps are fixed. Steps not done are then only likely. */
  readonly goodEnough: GoodEnoughState | null
}

/** How far a table is from good enough everywhere. */
export interface GoodEnoughState {
  readonly withinPercent: number
  readonly percentAlone: boolean
  readonly reached: boolean
  /** The place that is farthest from good enough; half widths in percent; null before there are intervals. */
  readonly worst: {
    readonly dial: number
    readonly direction: Direction
    readonly percent: number
    readonly enoughPercent: number
  } | null
  /** Runs that are likely to be made from here on. */
  readonly runs: number
  /** How it stands, and why the next run is made where it is. */
  readonly sentences: readonly string[]
  /** What no run can bring within what is wanted, and why. */
  readonly outOfReach: readonly string[]
}

/** Travels in which the dial is turned through several settings, as they stand. */
export interface SweepState {
  readonly axisId: number
  /** They make the runs of a guided recheck, which the session tells of; shown only while one is recorded. */
  readonly ofRecheck: boolean
  /** What whoever turns the knob is to do now; null where nothing is recorded. */
  readonly cue: SweepCue | null
  /** The settings of the travel under way or made last, in the order to turn. */
  readonly dials: readonly number[]
  /** How many of them are known well enough. */
  readonly known: number
  /** Runs to be made in all, and those that still are. */
  readonly runs: number
  readonly left: number
  readonly minutesLeft: number
  readonly directions: readonly Direction[]
  /** How well every place shall be known, percent; null for so many runs of every mark. */
  readonly withinPercent: number | null
  /** How well the table is known where that was asked for, and what cannot be reached, once no run is left to make. */
  readonly sentences: readonly string[]
}

/** What a calibration of an axis is likely to take, before it begins. */
export interface ExpectedAnswer {
  readonly procedures: readonly ({ readonly name: string } & Expected)[]
  /** How well every setting is known where a way ends once the table is good enough, in a sentence. */
  readonly goodEnoughWidth: string
  /** Until the table is good enough, by readout and by stopwatch. */
  readonly goodEnough: readonly {
    readonly source: RunSource
    readonly runs: number
    readonly minutes: number
  }[]
  /** Many settings in one travel; null where the axis has too few marks. */
  readonly sweeps: { readonly runs: number; readonly minutes: number } | null
  /** The same until the table is good enough. */
  readonly sweepsUntilGood: { readonly runs: number; readonly minutes: number } | null
}

/** What fixed passes take, and what they give. */
interface Expected {
  readonly runs: number
  readonly minutes: number
  /** How well the feeds are then known, in a sentence. */
  readonly width: string
}

/** The run to make now. */
export interface NextStep extends PlanStep {
  /** How far to travel and how long that takes; null before anything is known of the feed. */
  readonly travel: { readonly distanceMm: number; readonly timeS: number } | null
  /** A round distance to time over by stopwatch, mm. */
  readonly timedDistanceMm: number
  readonly minimumTimeS: number
}

export interface PortsAnswer {
  readonly ports: readonly { readonly path: string; readonly description: string }[]
  readonly profiles: readonly { readonly name: string; readonly description: string }[]
}

/** What came of one recording: its runs, or why it gave none. */
export interface TakeAnswer {
  readonly dial: DialSetting
  readonly runs: readonly PageRun[]
  /** Why no run counts, in a sentence; null where one does. */
  readonly problem: string | null
  /** Something else to know of it, in a sentence. */
  readonly note: string | null
}

/** The laptop's clock around one exchange, s. */
export interface ClockAnswer {
  readonly receivedS: number
  readonly sentS: number
}

/** What the readout is doing. */
export interface LiveState {
  readonly status: 'closed' | 'opening' | 'watching' | 'armed' | 'moving' | 'away'
  readonly axisId: number | null
  readonly port: string | null
  /** Set while a recording runs. */
  readonly dial: DialSetting | null
  readonly direction: Direction | null
  /** True where the recording belongs to the guided session. */
  readonly inSession: boolean
  /** Set from the first travel through several settings until its table is made. */
  readonly sweep: SweepState | null
  /** The readout sends no more: the figures shown are not those of now. */
  readonly silent: boolean
  /** What went wrong last, in a sentence with the way out. */
  readonly trouble: string | null
  /** What was concluded about the lines. */
  readonly conclusions: readonly string[]
  /** Nothing tells yet that the numbers are in the machine's unit; a known move would. */
  readonly unitIsOpen: boolean
}

/** What a known move of the table told of the numbers, in a sentence. */
export interface KnownMoveAnswer {
  readonly sentence: string
}

/** Samples since the last event of this kind, in order. */
export interface SamplesEvent {
  readonly kind: 'samples'
  readonly timeS: readonly number[]
  readonly positionMm: readonly number[]
}
