/**
 * What page and server say to each other. Everything is in mm, s and mm/min, as inside the program: the page shows it
 * in the unit that is chosen, with the program's own functions.
 */

import type { SweepCue } from '../jobs/index.js'
import type { Axis, Machine, RunSource, StoredTable } from '../store/index.js'
import type { Direction } from '../traverse/index.js'
import type { RecheckAnswer } from './check-api.js'
import type { CutNoteAnswer, CutView, LookupTables, RangeLookups } from './look-up-api.js'
import type { MachineTold } from './machine-api.js'
import type {
  ClockAnswer,
  KnownMoveAnswer,
  LiveState,
  PageRun,
  SamplesEvent,
  SessionState,
  TakeAnswer,
} from './measure-api.js'
import type { LearningState } from './readout-api.js'
import type {
  ArmRequest,
  AxisRequest,
  ConnectRequest,
  CutNoteRequest,
  CutRequest,
  DropRequest,
  EmptyRequest,
  FilmReadRequest,
  FilmRequest,
  GoodEnoughRequest,
  JudgeRequest,
  KnownMoveRequest,
  RecheckRequest,
  RunRequest,
  SessionRequest,
  StopwatchRequest,
} from './requests.js'

export type * from './check-api.js'
export type * from './look-up-api.js'
export type * from './measure-api.js'
export type {
  ArmRequest,
  ClockExchange,
  ConnectRequest,
  CutNoteRequest,
  CutRequest,
  FilmReadRequest,
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
  readonly 'live/end-travels': Telling<EmptyRequest, void>
  readonly stopwatch: Telling<StopwatchRequest, TakeAnswer>
  readonly film: Telling<FilmRequest, TakeAnswer>
  readonly 'film/read': Telling<FilmReadRequest, TakeAnswer>
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
  /** The axis that is shown first, so that it needs no question of its own; null where there is none. */
  readonly shown: { readonly axisId: number; readonly answer: AxisAnswer } | null
  readonly cautions: readonly string[]
  /** Those whose own timing error was measured, by name. */
  readonly people: readonly string[]
  readonly procedures: readonly {
    readonly name: string
    readonly title: string
    readonly source: RunSource
  }[]
}

/** The tables in force of an axis, one a direction, and the runs. */
export interface AxisAnswer {
  readonly tables: readonly StoredTable[]
  /** What lookups ask, in the order of `tables`. */
  readonly lookups: readonly LookupTables[]
  /** The other ranges of the same dial; empty where it has only one. */
  readonly otherRanges: readonly RangeLookups[]
  /** Newest first. */
  readonly runs: readonly PageRun[]
  readonly session: SessionState | null
}

/** How a phone is paired; null addresses where the page is not open to the local network. */
export interface PairingAnswer {
  readonly url: string | null
  /** Dark modules of the QR code, row by row. */
  readonly modules: readonly (readonly boolean[])[] | null
  /** This page came over the network itself: only who sits at the computer may let others in. */
  readonly paired: boolean
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
