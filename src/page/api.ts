/**
 * What page and server say to each other. Everything is in mm, s and mm/min, as inside the program: the page shows it
 * in the unit that is chosen, with the program's own functions.
 */

import type { RecheckAsked, SweepCue, TableToday } from '../jobs/index.js'
import type { CutAnswer } from '../planning/cut/index.js'
import type { PlanStep } from '../planning/index.js'
import type { Verdict } from '../planning/recheck/index.js'
import type { DirectionDifference } from '../regression/index.js'
import type { Axis, DialSetting, Machine, RunSource, StoredTable } from '../store/index.js'
import type { Direction, Phases } from '../traverse/index.js'
import type { LearningState, MachineTold } from './machine-api.js'
import type {
  ArmRequest,
  AxisRequest,
  ConnectRequest,
  CutNoteRequest,
  CutRequest,
  DropRequest,
  EmptyRequest,
  FilmRequest,
  GoodEnoughRequest,
  JudgeRequest,
  KnownMoveRequest,
  RecheckRequest,
  RunRequest,
  SessionRequest,
  StopwatchRequest,
} from './requests.js'

export type {
  ArmRequest,
  ClockExchange,
  ConnectRequest,
  CutNoteRequest,
  CutRequest,
  FilmRequest,
  KnownMoveRequest,
  StopwatchRequest,
} from './requests.js'

/** What goes with something told, and what comes back. */
export interface Telling<Request, Answer> {
  readonly request: Request
  readonly answer: Answer
}

/** Everything the page may tell the program, by its path: what goes with it, and what comes back. */
export interface Told extends MachineTold {
  readonly clock: Telling<EmptyRequest, ClockAnswer>
  readonly fit: Telling<AxisRequest, void>
  readonly 'run/drop': Telling<DropRequest, void>
  readonly 'run/keep': Telling<RunRequest, void>
  readonly 'session/begin': Telling<SessionRequest, void>
  readonly 'session/good-enough': Telling<GoodEnoughRequest, void>
  readonly 'session/skip': Telling<AxisRequest, void>
  readonly 'session/repeat': Telling<AxisRequest, void>
  readonly 'session/end': Telling<AxisRequest, void>
  readonly 'live/connect': Telling<ConnectRequest, void>
  readonly 'live/known-move': Telling<KnownMoveRequest, KnownMoveAnswer>
  readonly 'live/arm': Telling<ArmRequest, void>
  readonly 'live/disarm': Telling<EmptyRequest, void>
  readonly 'live/disconnect': Telling<EmptyRequest, void>
  readonly stopwatch: Telling<StopwatchRequest, TakeAnswer>
  readonly film: Telling<FilmRequest, TakeAnswer>
  readonly 'recheck/begin': Telling<RecheckRequest, void>
  readonly 'recheck/judge': Telling<JudgeRequest, RecheckAnswer>
  readonly 'recheck/adopt': Telling<AxisRequest, void>
  readonly cut: Telling<CutRequest, CutView>
  readonly 'cut/note': Telling<CutNoteRequest, CutNoteAnswer>
}

export interface ErrorAnswer {
  readonly error: { readonly code: string; readonly message: string; readonly hint: string }
}

/** A machine with its axes. */
export interface PageMachine extends Machine {
  readonly axes: readonly Axis[]
}

/** What the page needs to know once. */
export interface StartAnswer {
  readonly version: string
  readonly machines: readonly PageMachine[]
  readonly cautions: readonly string[]
  /** Those whose own timing error was measured, by name. */
  readonly people: readonly string[]
  readonly procedures: readonly {
    readonly name: string
    readonly title: string
    readonly source: RunSource
  }[]
}

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
  readonly droppedAt: string | null
  readonly dropReason: string | null
  /** Conditions, such as the load. */
  readonly tags: Readonly<Record<string, string>>
  readonly note: string | null
}

/** The tables in force of an axis, one a direction, and the runs. */
export interface AxisAnswer {
  readonly tables: readonly StoredTable[]
  /** What lookups ask, in the order of `tables`. */
  readonly lookups: readonly LookupTables[]
  readonly difference: DirectionDifference | null
  /** Newest first. */
  readonly runs: readonly PageRun[]
  readonly session: SessionState | null
}

/** One direction's table as a lookup asks it: `today` where something tells of the present session, else `anyDay`. */
export interface LookupTables {
  /** Means over all days, next settings on any day. */
  readonly anyDay: StoredTable
  /** The table as it is in the present session; null where the session has no run that tells. */
  readonly today:
    | (TableToday & {
        /** How the session feeds against the table and what tells it; null where the table itself is of the session. */
        readonly sentence: string | null
      })
    | null
}

/** How a guided session stands. */
export interface SessionState {
  readonly id: number
  readonly procedure: string
  readonly title: string
  readonly source: RunSource
  /** What is asked where the session is a recheck, else null. */
  readonly recheck: RecheckAsked | null
  readonly cautions: readonly string[]
  readonly resetDial: boolean
  readonly steps: readonly (PlanStep & { readonly done: boolean })[]
  readonly next: NextStep | null
  /** Minutes that the rest is likely to take. */
  readonly minutesLeft: number
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

/** What a calibration of an axis is likely to take, before it begins. */
export interface ExpectedAnswer {
  readonly procedures: readonly ({ readonly name: string } & Expected)[]
  /** Until the table is good enough, by readout and by stopwatch. */
  readonly goodEnough: readonly {
    readonly source: RunSource
    readonly runs: number
    readonly minutes: number
  }[]
}

/** What fixed passes take, and what they give. */
export interface Expected {
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

/** The materials that starting values are known for. */
export interface MaterialsAnswer {
  readonly materials: readonly string[]
}

/** What was noted of a cut, in words. */
export interface CutNoteAnswer {
  readonly text: string
}

/** A cut that was worked out. */
export interface CutView {
  readonly answer: CutAnswer
  /** What to do where there is no dial setting; null where there is one. */
  readonly noDial: string | null
  readonly cuttingSpeedMPerMin: number
  readonly chipLoadMm: number
  readonly range: { readonly lowMm: number; readonly highMm: number } | null
  /** What could bring the feed into the dial's range, in words. */
  readonly changes: readonly string[]
  readonly warnings: readonly string[]
  readonly cautions: readonly string[]
  readonly sources: readonly string[]
}

/** How it stands with the table of an axis, and what was done so far. */
export interface HistoryAnswer {
  /** How old the tables are, and a drift where there is one. */
  readonly state: readonly string[]
  /** Newest first. */
  readonly entries: readonly { readonly at: string; readonly text: string }[]
  /** The control chart as an SVG drawing; null before there are two rechecks. */
  readonly chart: string | null
}

/** The verdict of a recheck. */
export interface RecheckAnswer {
  readonly verdict: Verdict
  /** The verdict in words. */
  readonly headline: string
  /** A change is shown, whatever its size. */
  readonly changed: boolean
  /** The part of the dial that the verdict is for; null where the directions share none. */
  readonly range: { readonly from: number; readonly to: number } | null
  readonly withinPercent: number
  readonly reason: string
  /** What its runs were timed by. */
  readonly source: RunSource
  readonly marks: readonly {
    readonly dial: number
    readonly direction: Direction
    readonly thenMmPerMin: number
    readonly nowMmPerMin: number
    /** With its 95 % interval, in words. */
    readonly difference: string
    readonly verdict: Verdict
  }[]
  readonly sentences: readonly string[]
  /** The change that a new table can be made by, in words; null where there is none. */
  readonly change: string | null
  /** More runs are planned and likely to decide. */
  readonly goOn: boolean
}

/** The recheck that stands: the newest of the tables in force. */
export interface VerdictAnswer {
  readonly verdict: RecheckAnswer | null
}

/** The dial card as an SVG drawing. */
export interface CardAnswer {
  readonly svg: string
  /** The same as rows, for a screen that the drawing is too small on: a feed, and where each direction is set for it. */
  readonly rows: readonly {
    readonly feed: string
    readonly settings: readonly {
      readonly direction: Direction
      readonly dial: string
      readonly within: string
    }[]
  }[]
  /** What stands under the card, one sentence each. */
  readonly notes: readonly string[]
}

/** How a phone is paired; null addresses where the page is not open to the local network. */
export interface PairingAnswer {
  readonly url: string | null
  /** Dark modules of the QR code, row by row. */
  readonly modules: readonly (readonly boolean[])[] | null
  /** This page came over the network itself: only who sits at the computer may let others in. */
  readonly paired: boolean
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

export type PageEvent =
  | { readonly kind: 'live'; readonly state: LiveState }
  | SamplesEvent
  /** The table began to move or came to rest, by the readout's time. */
  | {
      readonly kind: 'motion'
      readonly moving: boolean
      readonly atS: number
      readonly direction: Direction | null
    }
  /** What whoever turns the knob in a travel through several settings is to do now. */
  | { readonly kind: 'sweep'; readonly axisId: number; readonly cue: SweepCue }
  | { readonly kind: 'take'; readonly axisId: number; readonly take: TakeAnswer }
  /** Learning a readout went on. */
  | { readonly kind: 'learning'; readonly state: LearningState }
  /** A machine or an axis was added, changed, put away or brought back. */
  | { readonly kind: 'machines' }
  /** Something of this axis changed in the store. */
  | { readonly kind: 'changed'; readonly axisId: number }
