import type { TablepaceError } from '../../errors/index.js'
import type { OtherNumber, ReadoutLoss, Sample } from '../../ingest/index.js'
import type { PlanStep } from '../../planning/index.js'
import type { DialSetting, Run } from '../../store/index.js'
import type { Direction } from '../../traverse/index.js'
import type { TakeOutcome } from '../record/takes.js'
import type { SweepCue } from '../sweep/sweep-guide.js'
import type { StepResult } from './guided-session.js'

/** Whether the port is open, and what is going on there. */
export type LiveStatus = 'watching' | 'armed' | 'moving' | 'away' | 'closed'

/** What ended a recording: the table came to rest, the readout was lost, or a person ended it. */
export type Ending = 'at-rest' | 'lost' | 'ended'

/** What happens in a live session, in the order in which it happens. */
export type LiveEvent =
  /** The format of the lines was worked out; one plain sentence each. */
  | { readonly kind: 'conclusions'; readonly sentences: readonly string[] }
  | { readonly kind: 'sample'; readonly sample: Sample }
  /** Nothing came for so long, s: figures shown are no longer those of now. The next sample ends it. */
  | { readonly kind: 'silent'; readonly silentS: number }
  /** A recording begins; `step` is the one to make now in a guided session. */
  | { readonly kind: 'listening'; readonly dial: DialSetting; readonly step: PlanStep | null }
  /** What whoever turns the knob in a travel through several settings is to do now. */
  | ({ readonly kind: 'sweep' } & SweepCue)
  /** Another number of the lines moves while the position of the axis stands still; once a recording. */
  | { readonly kind: 'other-axis'; readonly other: OtherNumber; readonly axis: string }
  /** The table left its rest; `timeS` by the samples. */
  | { readonly kind: 'moving'; readonly direction: Direction; readonly timeS: number }
  /** The table came to rest, at `restSinceS` by the samples. */
  | { readonly kind: 'stopped'; readonly restSinceS: number }
  /** Lines stopped coming; a traverse under way ends here. */
  | { readonly kind: 'lost'; readonly loss: ReadoutLoss }
  /** The readout is there again; a recording that was under way begins anew. */
  | { readonly kind: 'back'; readonly awayS: number }
  /** A recording made for itself was judged. */
  | { readonly kind: 'judged'; readonly outcome: TakeOutcome<Run>; readonly ending: Ending }
  /** A recording made for a step was judged, and a run of it counts. */
  | { readonly kind: 'step-settled'; readonly outcome: TakeOutcome<Run>; readonly result: StepResult }
  /** A recording made for a step was judged, and no run of it counts: the step stays open. */
  | { readonly kind: 'step-open'; readonly outcome: TakeOutcome<Run>; readonly result: StepResult }
  /** All that there was to record is recorded: the traverse came to rest, or no step is left to make. */
  | { readonly kind: 'done' }
  /** The lines cannot be read, or can no longer be stored. The port stays open. */
  | { readonly kind: 'failed'; readonly error: TablepaceError }
  /** The port is closed: null where that was asked for. Nothing comes after it. */
  | { readonly kind: 'closed'; readonly error: TablepaceError | null }
