/** What page and server say to each other where something is looked up. */

import type { TableToday } from '../jobs/index.js'
import type { CutAnswer } from '../planning/cut/index.js'
import type { DayKnowledge } from '../regression/scatter/day-effect.js'
import type { StoredTable } from '../store/index.js'
import type { Direction } from '../traverse/index.js'

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
  /** What a run of this session would tell by; null where something tells of it already. */
  readonly dayToSee: DayKnowledge['dayToSee'] | null
}

/** Another range of the dial that an axis is one range of: what looks a feed up in it. */
export interface RangeLookups {
  readonly axisId: number
  readonly lookups: readonly LookupTables[]
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
