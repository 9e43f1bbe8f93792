/** What page and server say to each other of rechecks. */

import type { Verdict } from '../planning/recheck/index.js'
import type { RunSource } from '../store/index.js'
import type { Direction } from '../traverse/index.js'

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
