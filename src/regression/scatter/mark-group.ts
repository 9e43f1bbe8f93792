import { isotonic, pchip } from '../../numbers/index.js'
import type { Direction } from '../../traverse/index.js'
import type { RunEvidence } from '../feed-table.js'

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
  /** How many mm/min the feed changes for one dial unit. */
  readonly slopeMmPerMin: number
}

/** Slower than this the leadscrew nut sticks and slips: no steady feed. Common practice, no source. */
const CREEP_MM_PER_MIN = 2.5

/** A slow machine’s whole range may lie below the limit above; a mark this near its fastest feed never creeps. */
const CREEP_SHARE_OF_FASTEST = 0.02

/** PCHIP flattens at a kink; the mark is still moved by the steeper side, so the secant keeps this share. */
const SECANT_SHARE = 0.7

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

/**
 * Groups the runs of one direction by dial, in rising dial order.
 * @param sorted runs of one direction as `sortRuns` leaves them
 * @param fastestMmPerMin fastest run of the whole axis, for telling which marks creep
 */
export function groupByMark(sorted: readonly RunEvidence[], fastestMmPerMin: number): MarkGroup[] {
  const byDial = new Map<number, RunEvidence[]>()
  for (const run of sorted) {
    const runs = byDial.get(run.dial)
    if (runs) runs.push(run)
    else byDial.set(run.dial, [run])
  }
  const marks = [...byDial].map(([dial, runs]) => {
    const feedsMmPerMin = runs.map((run) => run.feedMmPerMin)
    const counting = runs.every((run) => run.setAside) ? runs : runs.filter((run) => !run.setAside)
    const meanFeedMmPerMin = counting.reduce((sum, run) => sum + run.feedMmPerMin, 0) / counting.length
    return { dial, runs, feedsMmPerMin, meanFeedMmPerMin }
  })
  const slopes = slopesAtMarks(
    marks.map((mark) => mark.dial),
    marks.map((mark) => mark.meanFeedMmPerMin),
  )
  const creepLimit = Math.min(CREEP_MM_PER_MIN, CREEP_SHARE_OF_FASTEST * fastestMmPerMin)
  return marks.map(({ dial, runs, feedsMmPerMin, meanFeedMmPerMin }, i) => ({
    dial,
    direction: runs[0]!.direction,
    feedsMmPerMin,
    relativeUncertainties: runs.map((run) =>
      run.feedMmPerMin > 0 ? run.standardUncertaintyMmPerMin / run.feedMmPerMin : 0,
    ),
    settings: settingsOf(runs),
    runIds: runs.map((run) => run.runId),
    meanFeedMmPerMin,
    creeps: Math.min(...feedsMmPerMin) <= 0 || meanFeedMmPerMin < creepLimit,
    slopeMmPerMin: slopes[i]!,
  }))
}

function settingsOf(runs: readonly RunEvidence[]): number[][] {
  const bySetting = new Map<string | number, number[]>()
  for (const [index, { setting }] of runs.entries()) {
    const key = setting ?? index
    bySetting.set(key, [...(bySetting.get(key) ?? []), index])
  }
  return [...bySetting.values()]
}

/** The larger of the PCHIP slope and a share of the secant over the neighbours; one mark: the line through zero. */
function slopesAtMarks(dials: readonly number[], feeds: readonly number[]): number[] {
  if (dials.length === 1) return [dials[0] === 0 ? 0 : Math.abs(feeds[0]! / dials[0]!)]
  const rising = isotonic(feeds)
  const cubic = pchip(dials, rising)
  return dials.map((_, i) => {
    const before = Math.max(0, i - 1)
    const after = Math.min(dials.length - 1, i + 1)
    const secant = (rising[after]! - rising[before]!) / (dials[after]! - dials[before]!)
    return Math.max(cubic.slope[i]!, SECANT_SHARE * secant)
  })
}
