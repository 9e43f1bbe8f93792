import { DataError } from '../../errors/index.js'
import type { FeedTable, IntervalMmPerMin } from '../../regression/index.js'
import { type DialAnswer, dialForFeed } from '../lookup/lookups.js'
import { measuredRange } from '../lookup/measured-range.js'
import { type CutChange, cutChanges } from './cut-changes.js'
import { type CutBounds, type CutLimit, cutLimits } from './cut-limits.js'
import { type CutPlan, planCut, type WantedCut } from './cut-plan.js'
import { type CutConditions, type CutResults, chipLoadAt, cutResults } from './cut-results.js'
import { type Engagement, proposedEngagement } from './engagement.js'

/** Why no dial setting can be named. */
type NoDial =
  | { readonly code: 'no-table' }
  | { readonly code: 'beyond-limits' }
  | { readonly code: 'feed-out-of-range' | 'empty-table'; readonly message: string }

/** A cut from the cutter to the lever. */
export interface CutAnswer {
  readonly plan: CutPlan
  readonly engagement: Engagement
  readonly dial: DialAnswer | null
  readonly noDial: NoDial | null
  /** The limits that the cut goes beyond, those that stop it first. */
  readonly limits: readonly CutLimit[]
  /** What could bring the feed into the dial's range; empty where it is there. */
  readonly changes: readonly CutChange[]
  readonly chipLoad: {
    /** The thickest chip at the feed of the dial, or the wanted one where there is no dial, mm. */
    readonly chipLoadMm: number
    /** The same over the feeds that the next setting may give, mm; null where there is no band. */
    readonly nextSetting95: readonly [number, number] | null
    /** What the tooth that stands out most may take at the highest of these feeds, mm. */
    readonly worstToothMm: number
    readonly leavesRange: 'no' | 'below' | 'above' | 'both' | 'not-known'
  }
  readonly results: CutResults
}

/** How far one tooth of a cutter in a manual spindle stands out, mm: half a thousandth of an inch (common practice, no source). */
const RUNOUT_MM = 0.0127

/**
 * Works a cut out to the dial setting, and back from what the dial gives to the chip. Limits are held against the
 * highest feed that the next setting is likely to give. Beyond a limit there is no dial setting.
 *
 * @param table the table that answers, or null where none has been fitted
 */
export function answerCut(
  cut: WantedCut,
  conditions: CutConditions,
  table: FeedTable | null,
  bounds: CutBounds,
): CutAnswer {
  const plan = planCut(cut)
  const { setRpm } = plan.spindle
  const found = lookUp(plan.feedMmPerMin.atSetRpm, table)
  const dialFound = 'code' in found ? null : found
  const feedMmPerMin = dialFound?.feed.feedMmPerMin ?? plan.feedMmPerMin.atSetRpm
  const band = dialFound?.nextSetting95 ?? null
  const worstFeed = band?.[1] ?? feedMmPerMin
  const chipAt = (feed: number, rpm: number) =>
    chipLoadAt(feed, rpm, { teeth: cut.teeth, chipThinning: plan.chipThinning })
  const worst = (tried: WantedCut) => ({
    results: cutResults(tried, plan, worstFeed, conditions),
    chipLoadMm: setRpm === null || worstFeed === null ? null : chipAt(worstFeed, setRpm),
    motorPowerW: conditions.motorPowerW,
    feedPushN: conditions.feedPushN,
  })
  const engagement = lightEnough(cut, (tried) => cutLimits(tried, plan, worst(tried), bounds))
  const engaged = { ...cut, widthMm: engagement.widthMm, depthMm: engagement.depthMm }
  const limits = cutLimits(engaged, plan, worst(engaged), bounds)
  const dial = limits.some((one) => one.stops) ? null : dialFound
  const chipLoadMm = setRpm === null || feedMmPerMin === null ? cut.chipLoadMm : chipAt(feedMmPerMin, setRpm)
  const nextSetting95 =
    dial === null || band === null || setRpm === null
      ? null
      : ([chipAt(band[0], setRpm), chipAt(band[1], setRpm)] as const)
  return {
    plan,
    engagement,
    dial,
    noDial: dial === null ? whyNoDial(limits, found) : null,
    limits,
    changes:
      'code' in found && found.code === 'feed-out-of-range' && table !== null
        ? cutChanges(cut, plan, measuredRange(table).feedMmPerMin, bounds.chipLoads)
        : [],
    chipLoad: {
      chipLoadMm,
      nextSetting95,
      worstToothMm: worstTooth(nextSetting95?.[1] ?? chipLoadMm, cut.teeth),
      leavesRange: leaving(nextSetting95 ?? [chipLoadMm, chipLoadMm], bounds.chipLoads),
    },
    results: cutResults(engaged, plan, feedMmPerMin, conditions),
  }
}

/** A proposed depth is halved until the proposal goes beyond no limit; what was told stays as it was told. */
function lightEnough(cut: WantedCut, limitsOf: (cut: WantedCut) => CutLimit[]): Engagement {
  let engagement = proposedEngagement(cut)
  const heavy = () =>
    limitsOf({ ...cut, widthMm: engagement.widthMm, depthMm: engagement.depthMm }).some(
      ({ limit }) => limit === 'bends' || limit === 'power' || limit === 'feed-drive',
    )
  for (let halved = 0; halved < MOST_HALVINGS && engagement.depthProposed && heavy(); halved++) {
    engagement = { ...engagement, depthMm: engagement.depthMm === null ? null : engagement.depthMm / 2 }
  }
  return engagement
}

/**
 * Times that a proposed depth of cut is halved at most. Judgement: a sixteenth of the first proposal is as thin as
 * a cut is worth proposing.
 */
const MOST_HALVINGS = 4

/** A tooth that stands out takes so much more, but never more than all teeth together. */
function worstTooth(chipLoadMm: number, teeth: number): number {
  return Math.min(chipLoadMm + (teeth === 1 ? 0 : RUNOUT_MM), chipLoadMm * teeth)
}

function lookUp(feedMmPerMin: number | null, table: FeedTable | null): DialAnswer | NoDial {
  if (feedMmPerMin === null) return { code: 'beyond-limits' }
  if (table === null) return { code: 'no-table' }
  try {
    return dialForFeed(table, feedMmPerMin)
  } catch (error) {
    if (!(error instanceof DataError)) throw error
    const code = error.code === 'empty-table' ? 'empty-table' : 'feed-out-of-range'
    return { code, message: error.message }
  }
}

function whyNoDial(limits: readonly CutLimit[], found: DialAnswer | NoDial): NoDial {
  return limits.some((one) => one.stops) || !('code' in found) ? { code: 'beyond-limits' } : found
}

function leaving(
  [low, high]: IntervalMmPerMin,
  range: CutBounds['chipLoads'],
): CutAnswer['chipLoad']['leavesRange'] {
  if (range === null) return 'not-known'
  // A load asked for at the very end of the range is still in it.
  const below = low < range.lowMm * (1 - 1e-9)
  const above = high > range.highMm * (1 + 1e-9)
  if (below && above) return 'both'
  return below ? 'below' : above ? 'above' : 'no'
}
