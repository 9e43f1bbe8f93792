import { isotonic } from '../../numbers/index.js'
import type { Direction } from '../../traverse/index.js'
import type { RunEvidence } from '../feed-table.js'
import { type DialTrend, likelyTrend } from './dial-trend.js'

/** The runs at one mark in one direction. */
export interface MarkGroup {
  readonly dial: number
  readonly direction: Direction
  /** mm/min, in the order of `relativeUncertainties`. */
  readonly feedsMmPerMin: readonly number[]
  /** Standard uncertainty of each run's own feed over that feed: reading and clock only. */
  readonly relativeUncertainties: readonly number[]
  /** Runs that share one dial setting, as indices into `feedsMmPerMin`: the error of setting the dial is common to them. */
  readonly settings: readonly (readonly number[])[]
  /** Ids of the runs, in the same order. */
  readonly runIds: readonly string[]
  /** Plain mean of the runs that are not set aside, mm/min: for slopes and for telling which marks creep. */
  readonly meanFeedMmPerMin: number
  /** The table hardly moves here: log feed means nothing, the mark stays out of the noise model. */
  readonly creeps: boolean
  /**
   * How many mm/min the feed changes for one dial unit, as an error of setting the dial meets it: see `slopesAtMarks`.
   * Negative where the feed falls as the numbers rise.
   */
  readonly slopeMmPerMin: number
}

/** Slower than this the leadscrew nut sticks and slips: no steady feed. Common practice, no source. */
const CREEP_MM_PER_MIN = 2.5

/**
 * Share of the fastest feed above which a mark never creeps: a slow machine's whole range may lie below the limit
 * above (judgement).
 */
const CREEP_SHARE_OF_FASTEST = 0.02

/**
 * Sorts runs so that everything after depends on what was measured, not on the order it came in.
 * Direction (plus first), dial, feed, uncertainty, then the run's id.
 */
export function sortRuns(runs: readonly RunEvidence[]): RunEvidence[] {
  return [...runs].sort(
    (a, b) =>
      b.direction - a.direction ||
      a.dial - b.dial ||
      a.feedMmPerMin - b.feedMmPerMin ||
      a.standardUncertaintyMmPerMin - b.standardUncertaintyMmPerMin ||
      (a.runId < b.runId ? -1 : a.runId > b.runId ? 1 : 0),
  )
}

/** What the marks of both directions of an axis say of its dial. */
interface DialShape {
  readonly trend: DialTrend
  /** From the lowest to the highest measured number, dial units; 1 where there is one alone. */
  readonly span: number
}

/** Feed of the fastest mark of an axis, mm/min. */
export function fastestMark(
  sides: readonly { readonly marks: readonly { readonly feedMmPerMin: number }[] }[],
): number {
  return Math.max(0, ...sides.flatMap(({ marks }) => marks.map((mark) => mark.feedMmPerMin)))
}

/** Feed, mm/min, below which a table creeps; `fastestMmPerMin` is the fastest feed of the axis. */
export function creepLimit(fastestMmPerMin: number): number {
  return Math.min(CREEP_MM_PER_MIN, CREEP_SHARE_OF_FASTEST * fastestMmPerMin)
}

/**
 * Groups the runs of one direction by dial, in rising dial order.
 * @param sorted runs of one direction as `sortRuns` leaves them
 * @param fastestMmPerMin fastest run of the whole axis, for telling which marks creep
 * @param shape of the dial as both directions tell it; as these runs alone tell it where left out
 */
export function groupByMark(
  sorted: readonly RunEvidence[],
  fastestMmPerMin: number,
  shape: DialShape = dialShape([sorted]),
): MarkGroup[] {
  const marks = meansByMark(sorted)
  const slopes = slopesAtMarks(marks, shape)
  const slowest = creepLimit(fastestMmPerMin)
  return marks.map(({ dial, runs, feedsMmPerMin, feedMmPerMin: meanFeedMmPerMin }, i) => ({
    dial,
    direction: runs[0]!.direction,
    feedsMmPerMin,
    relativeUncertainties: runs.map((run) =>
      run.feedMmPerMin > 0 ? run.standardUncertaintyMmPerMin / run.feedMmPerMin : 0,
    ),
    settings: settingsOf(runs),
    runIds: runs.map((run) => run.runId),
    meanFeedMmPerMin,
    creeps: Math.min(...feedsMmPerMin) <= 0 || meanFeedMmPerMin < slowest,
    slopeMmPerMin: slopes[i]!,
  }))
}

/** The shape of a dial by the runs of each direction that was measured. */
export function dialShape(sides: readonly (readonly RunEvidence[])[]): DialShape {
  return { trend: likelyTrend(sides.map(meansByMark)), span: dialSpan(sides.flat()) }
}

/** From the lowest to the highest dial, so that it does not matter what number a dial begins with; 1 for one alone. */
export function dialSpan(places: readonly { readonly dial: number }[]): number {
  const dials = places.map((place) => place.dial)
  return Math.max(...dials) - Math.min(...dials) || 1
}

function meansByMark(sorted: readonly RunEvidence[]) {
  const byDial = new Map<number, RunEvidence[]>()
  for (const run of sorted) {
    const runs = byDial.get(run.dial)
    if (runs) runs.push(run)
    else byDial.set(run.dial, [run])
  }
  return [...byDial].map(([dial, runs]) => {
    const feedsMmPerMin = runs.map((run) => run.feedMmPerMin)
    const counting = runs.every((run) => run.setAside) ? runs : runs.filter((run) => !run.setAside)
    const feedMmPerMin = counting.reduce((sum, run) => sum + run.feedMmPerMin, 0) / counting.length
    return { dial, runs, feedsMmPerMin, feedMmPerMin }
  })
}

function settingsOf(runs: readonly RunEvidence[]): number[][] {
  const bySetting = new Map<string | number, number[]>()
  for (const [index, { setting }] of runs.entries()) {
    const key = setting ?? index
    bySetting.set(key, [...(bySetting.get(key) ?? []), index])
  }
  return [...bySetting.values()]
}

/**
 * Root mean square of the slopes to the marks on either side; at an end of the dial the slope to the only neighbour. Derived:
 * an error of setting the dial goes to either side alike often and moves the feed by the slope of that side, so that its
 * variance is that of the dial times the mean of both squares, at a corner as on a straight part. A mark alone tells no
 * slope: the feed is taken to change by all of itself over the dial.
 */
function slopesAtMarks(
  marks: readonly { readonly dial: number; readonly feedMmPerMin: number }[],
  { trend, span }: DialShape,
): number[] {
  if (marks.length === 1) return [(trend * marks[0]!.feedMmPerMin) / span]
  const dials = marks.map((mark) => mark.dial)
  const ordered = isotonic(marks.map((mark) => trend * mark.feedMmPerMin))
  const slopes = dials.slice(1).map((dial, i) => (ordered[i + 1]! - ordered[i]!) / (dial - dials[i]!))
  return dials.map((_, i) => {
    const before = slopes[i - 1] ?? slopes[i]!
    const after = slopes[i] ?? before
    return trend * Math.sqrt((before ** 2 + after ** 2) / 2)
  })
}
