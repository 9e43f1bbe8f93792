import { DataError } from '../../errors/index.js'
import { seedFrom } from '../../numbers/index.js'
import {
  type FeedEstimate,
  type FitOptions,
  fitMark,
  type MarkGroup,
  type RunEvidence,
  sortRuns,
} from '../../regression/index.js'
import type { Direction } from '../../traverse/index.js'
import { type Decision, decide, type MarkDecision } from './decision.js'
import { fastestOf, groupRuns } from './group-runs.js'
import type { Differences, MarkDifference } from './mark-differences.js'
import { differenceErrors, meanLogFeed } from './mean-errors.js'
import { relativeSlopes } from './relative-slopes.js'
import { runScatter } from './run-scatter.js'

/** Two groups of runs of one axis. */
interface ComparedGroups {
  readonly left: readonly RunEvidence[]
  readonly right: readonly RunEvidence[]
  /** Whether marks are matched by dial alone, as between directions, or in each direction for itself. */
  readonly acrossDirections: boolean
  readonly options: FitOptions
}

/** One mark as both groups have it; the difference is that of the right against the left. */
interface ComparedMark extends MarkDifference {
  readonly rightDirection: Direction
  readonly leftFeed: FeedEstimate
  readonly rightFeed: FeedEstimate
  readonly runs: readonly [left: number, right: number]
}

export interface Comparison extends Decision {
  readonly compared: readonly ComparedMark[]
}

/** Whether two groups are alike within the tolerance, or shown to differ by whatever amount. */
type Likeness = 'alike' | 'different' | 'undecided'

/** What a decision says of two groups, at one mark or at all: a difference shown within the tolerance is alike. */
export function likeness({ verdict, changed }: Pick<MarkDecision, 'verdict' | 'changed'>): Likeness {
  if (verdict === 'holds') return 'alike'
  return changed ? 'different' : 'undecided'
}

/** Level of a single look: the usual 5 % (common practice, no source). */
const LEVEL = 0.05

/**
 * How two groups of runs differ, mark by mark and overall, by the machinery of a recheck: scatter learned from both
 * around their own means; a dial that was not touched between a run of one group and one of the other does not count.
 *
 * @param withinPercent what counts as alike
 * @throws DataError `nothing-to-compare`, `no-repeats`
 */
export function compareGroups(groups: ComparedGroups, withinPercent: number): Comparison {
  const { left, right, acrossDirections, options } = groups
  const fastest = fastestOf(left, right)
  const slopes = new Map(
    ([1, -1] as const).map((direction) => [direction, slopesIn([...left, ...right], direction, fastest)]),
  )
  const grouped = (runs: readonly RunEvidence[]) =>
    groupRuns(runs, fastest).map((group) => ({
      ...group,
      slopeMmPerMin: slopes.get(group.direction)!(group.dial) * group.meanFeedMmPerMin,
    }))
  const [lefts, rights] = [grouped(left), grouped(right)]
  const posterior = runScatter([left, right], grouped, options)
  if (posterior === null) {
    throw new DataError(
      'no-repeats',
      'No setting was measured twice in either group, so the scatter is not known.',
      'Set the dial to the same mark again and make another run.',
    )
  }
  const meanOf = (group: MarkGroup, runs: readonly RunEvidence[]) => {
    const own = sortRuns(runs).filter((run) => run.direction === group.direction && run.dial === group.dial)
    return meanLogFeed(group, own, slopes.get(group.direction)!(group.dial), posterior)
  }
  const compared = lefts.flatMap((a): ComparedMark[] => {
    const b = rights.find((one) => one.dial === a.dial && (acrossDirections || one.direction === a.direction))
    if (b === undefined || a.creeps || b.creeps) return []
    const [before, after] = [meanOf(a, left), meanOf(b, right)]
    return [
      {
        dial: a.dial,
        direction: a.direction,
        rightDirection: b.direction,
        difference: after.logFeed - before.logFeed,
        errors: differenceErrors(after.errors, before.errors),
        leftFeed: estimateOf(fitMark(a, posterior)),
        rightFeed: estimateOf(fitMark(b, posterior)),
        runs: [a.feedsMmPerMin.length, b.feedsMmPerMin.length],
      },
    ]
  })
  if (compared.length === 0) {
    throw new DataError(
      'nothing-to-compare',
      'The two groups have no mark in common at which the table moves steadily.',
      'Make runs of both groups at the same dial settings.',
    )
  }
  const differences: Differences = { marks: compared, posterior }
  const seed = seedFrom(compared.map((mark) => `${mark.dial},${mark.difference.toPrecision(9)}`).join(';'))
  return {
    ...decide(differences, { withinPercent, level: (share) => share * LEVEL, seed, slopes: null }),
    compared,
  }
}

function slopesIn(runs: readonly RunEvidence[], direction: Direction, fastest: number) {
  const marks = groupRuns(
    runs.filter((run) => run.direction === direction),
    fastest,
  ).map(({ dial, meanFeedMmPerMin }) => ({ dial, feedMmPerMin: meanFeedMmPerMin }))
  return relativeSlopes(marks)
}

function estimateOf({ feedMmPerMin, standardUncertaintyMmPerMin, interval95 }: FeedEstimate): FeedEstimate {
  return { feedMmPerMin, standardUncertaintyMmPerMin, interval95 }
}
