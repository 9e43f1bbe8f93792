import type { TablepaceError } from '../../errors/index.js'
import type { StampedLine } from '../../ingest/index.js'
import type { DialSetting, StopwatchRecord } from '../../store/index.js'
import type { ReadoutSettings } from '../readout/readout-settings.js'
import type { PressTiming } from './person-timing.js'

/** Conditions that go with every take of one call. */
export interface TakeConditions {
  readonly dialReset: boolean
  readonly tags: Readonly<Record<string, string>>
  readonly note: string | null
  readonly startedAt: string
  /** The guided session it is made in; the step is null where the dial is turned on the way: each run's setting tells it. */
  readonly session?: { readonly id: number; readonly step: number | null }
  /** The measuring session by the name that the user gave; left out, the date tells it. */
  readonly sessionName?: string
  /** Check runs: they tell of their session alone and make no mark. */
  readonly check?: boolean
  /** How sure stopwatch presses are; left out for the published spread. */
  readonly timing?: PressTiming
}

/** Lines of a readout at one dial setting, or at those that its settings name one after the other, from a file or a port. */
export interface ReadoutTake {
  /** The first setting where there are several. */
  readonly dial: DialSetting
  readonly origin: string
  readonly settings: ReadoutSettings
  readonly lines: AsyncIterable<StampedLine> | Iterable<StampedLine>
}

/** One stopwatch entry at one dial setting. */
export interface StopwatchTake {
  readonly dial: DialSetting
  readonly origin: string
  readonly entry: StopwatchRecord
  readonly note: string | null
}

/** What one take came to: its runs, or why it gave none. */
export interface TakeOutcome<R> {
  readonly dial: DialSetting
  readonly origin: string
  /** Where the raw data lie in the store; null where nothing is stored. */
  readonly recordingId: string | null
  readonly runs: readonly R[]
  /** The dial setting of each run, where the dial was turned on the way. */
  readonly dials?: readonly DialSetting[]
  readonly failure: TablepaceError | null
  /** What was concluded about the lines. */
  readonly conclusions: readonly string[]
}
