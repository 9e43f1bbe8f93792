import { DataError } from '../../errors/index.js'
import type { FeedTable, IntervalMmPerMin } from '../../regression/index.js'
import { type DialAnswer, dialForFeed } from '../lookup/lookups.js'
import { measuredRange } from '../lookup/measured-range.js'
import type { FittingChipLoad } from './chip-load-range.js'
import { type CutChange, cutChanges } from './cut-changes.js'
import { type CutPlan, planCut, type WantedCut } from './cut-plan.js'
import { type CutConditions, type CutResults, chipLoadAt, cutResults } from './cut-results.js'

/** Why no dial setting can be named. */
export interface NoDial {
  readonly code: string
  readonly message: string
  readonly hint: string
}

/** A cut from the cutter to the lever. */
export interface CutAnswer {
  readonly plan: CutPlan
  readonly dial: DialAnswer | null
  readonly noDial: NoDial | null
  /** What could bring the feed into the dial's range; empty where it is there. */
  readonly changes: readonly CutChange[]
  readonly chipLoad: {
    /** The thickest chip at the feed of the dial, or at the wanted feed where there is no dial, mm. */
    readonly chipLoadMm: number
    /** The same over the feeds that the next setting may give, mm; null where there is no band. */
    readonly nextSetting95: readonly [number, number] | null
    readonly leavesRange: 'no' | 'below' | 'above' | 'both' | 'not-known'
  }
  readonly results: CutResults
}

/**
 * Works a cut out to the dial setting, and back from what the dial gives to the chip.
 *
 * @param table the table that answers, or null where none has been fitted
 * @param range chip loads that the cutter stands, or null where they are not known
 * @throws UsageError `bad-cut`
 */
export function answerCut(
  cut: WantedCut,
  conditions: CutConditions,
  table: FeedTable | null,
  range: Pick<FittingChipLoad, 'lowMm' | 'highMm'> | null,
): CutAnswer {
  const plan = planCut(cut)
  const found = lookUp(plan.feedMmPerMin.atSetRpm, table)
  const dial = 'message' in found ? null : found
  const feedMmPerMin = dial?.feed.feedMmPerMin ?? plan.feedMmPerMin.atSetRpm
  const chipAt = (feed: number) => chipLoadAt(feed, plan, cut.teeth)
  const band = dial?.nextSetting95 ?? null
  const nextSetting95 = band === null ? null : ([chipAt(band[0]), chipAt(band[1])] as const)
  const chipLoadMm = chipAt(feedMmPerMin)
  return {
    plan,
    dial,
    noDial: 'message' in found ? found : null,
    changes:
      'message' in found && found.code === 'feed-out-of-range' && table !== null
        ? cutChanges(cut, plan, measuredRange(table).feedMmPerMin)
        : [],
    chipLoad: {
      chipLoadMm,
      nextSetting95,
      leavesRange: leaving(nextSetting95 ?? [chipLoadMm, chipLoadMm], range),
    },
    results: cutResults(cut, plan, feedMmPerMin, conditions),
  }
}

function lookUp(feedMmPerMin: number, table: FeedTable | null): DialAnswer | NoDial {
  if (table === null) {
    return {
      code: 'no-table',
      message: 'No table has been fitted for this axis and direction yet, so the dial setting is not known.',
      hint: 'Record runs with `tablepace traverse` or `tablepace calibrate`, then `tablepace fit`.',
    }
  }
  try {
    return dialForFeed(table, feedMmPerMin)
  } catch (error) {
    if (!(error instanceof DataError)) throw error
    const { code, message, hint } = error
    return { code, message, hint }
  }
}

function leaving(
  [low, high]: IntervalMmPerMin,
  range: Pick<FittingChipLoad, 'lowMm' | 'highMm'> | null,
): CutAnswer['chipLoad']['leavesRange'] {
  if (range === null) return 'not-known'
  // A load asked for at the very end of the range is still in it.
  const below = low < range.lowMm * (1 - 1e-9)
  const above = high > range.highMm * (1 + 1e-9)
  if (below && above) return 'both'
  return below ? 'below' : above ? 'above' : 'no'
}
