import { seededNormal } from '../../numbers/index.js'
import {
  assumedNoise,
  axisSides,
  type FitOptions,
  fitMark,
  type NoisePosterior,
  noiseOptions,
  noisePosterior,
  type RunEvidence,
  relativeHalfWidth,
} from '../../regression/index.js'
import type { Direction } from '../../traverse/index.js'

/** Scatter of a machine: relative from run to run, and dial units from setting to setting. */
export interface Scatter {
  readonly runRelative: number
  readonly dialReset: number
}

/** Runs that may be made at one setting. */
export interface PlannedRuns {
  readonly dial: number
  readonly direction: Direction
  /** What the setting is likely to feed, mm/min. */
  readonly feedMmPerMin: number
  /** Relative standard uncertainty of each run's own feed. */
  readonly runRelativeUncertainty: number
}

/**
 * Possible outcomes gone through; their middle one is what is expected, so their number is odd. Derived: the
 * quantiles of scatter are then 4 % of probability apart.
 */
const OUTCOMES = 25

/**
 * Relative half width that the 95 % interval of a setting's mean feed is expected to have after `count` more runs: the
 * runs are drawn as the scatter known so far lets them fall out, fitted together with the earlier ones by the fit
 * itself, and the middle of the half widths is given. Seeded, so that the same question gets the same answer.
 *
 * @param earlier runs of the axis that a fit would use
 * @param scatters equally likely sizes of the scatter
 * @returns null where even then no mark would be repeated
 */
export function expectedHalfWidth(
  earlier: readonly RunEvidence[],
  scatters: readonly Scatter[],
  planned: PlannedRuns,
  count: number,
  options: FitOptions,
): number | null {
  const normal = seededNormal(count + 1)
  const widths = Array.from({ length: OUTCOMES }, (_, k) => {
    const scatter = scatters[Math.floor(((k + 0.5) / OUTCOMES) * scatters.length)]!
    const runs = drawnRuns(earlier, scatter, planned, count, normal)
    return halfWidthAt([...earlier, ...runs], planned.dial, planned.direction, options)
  }).filter((width) => width !== null)
  widths.sort((a, b) => a - b)
  return widths.length === OUTCOMES ? widths[(OUTCOMES - 1) / 2]! : null
}

/** Relative half width of the 95 % interval of a mark's mean feed by these runs; null where it has none. */
export function halfWidthAt(
  runs: readonly RunEvidence[],
  dial: number,
  direction: Direction,
  options: FitOptions,
): number | null {
  const { groups, posterior } = scatterOf(runs, options)
  const group = groups.find((one) => one.dial === dial && one.direction === direction)
  if (group === undefined || posterior === null) return null
  const feed = fitMark(group, posterior)
  return feed.feedMmPerMin > 0 ? relativeHalfWidth(feed) : null
}

/** The marks of an axis and what its repeats say about the scatter. */
export function scatterOf(runs: readonly RunEvidence[], options: FitOptions) {
  const groups = axisSides(runs).sides.flatMap((side) => side.groups)
  const known = noiseOptions(options)
  const own = noisePosterior(groups, known)
  // Without a repeat of its own an axis whose earlier tables are known still has a scatter that is not assumed.
  const posterior = own ?? (known.earlier?.length ? assumedNoise(groups, known) : null)
  return { groups, posterior }
}

/** Sizes of the scatter as likely as the posterior has them: the middles of equal shares of its weight. */
export function likelyScatters({ points }: NoisePosterior): Scatter[] {
  const rising = [...points].sort((a, b) => a.runRelative - b.runRelative || a.dialReset - b.dialReset)
  let below = 0
  let next = 0
  return rising.flatMap((point) => {
    below += point.weight
    const times: Scatter[] = []
    while (next < OUTCOMES && (next + 0.5) / OUTCOMES <= below + 1e-12) {
      times.push(point)
      next += 1
    }
    return times
  })
}

function drawnRuns(
  earlier: readonly RunEvidence[],
  { runRelative, dialReset }: Scatter,
  { dial, direction, feedMmPerMin, runRelativeUncertainty }: PlannedRuns,
  count: number,
  normal: () => number,
): RunEvidence[] {
  const slope = relativeSlope(earlier, dial, direction, feedMmPerMin)
  const scatter = Math.hypot(runRelative, slope * dialReset, runRelativeUncertainty)
  return Array.from({ length: count }, (_, k) => {
    const feed = feedMmPerMin * Math.exp(scatter * normal())
    return {
      runId: `planned ${k}`,
      dial,
      direction,
      feedMmPerMin: feed,
      standardUncertaintyMmPerMin: feed * runRelativeUncertainty,
      source: 'readout' as const,
    }
  })
}

/** Relative change of the feed for one dial unit, as the fit will take it from the marks around; negative where it falls. */
export function relativeSlope(
  earlier: readonly RunEvidence[],
  dial: number,
  direction: Direction,
  feedMmPerMin: number,
): number {
  const planned = { runId: 'planned', dial, direction, feedMmPerMin, standardUncertaintyMmPerMin: 0 }
  const all: RunEvidence[] = [...earlier, { ...planned, source: 'readout' }]
  const side = axisSides(all, feedMmPerMin).sides.find((one) => one.direction === direction)
  const group = side?.groups.find((one) => one.dial === dial)
  return group === undefined ? 0 : group.slopeMmPerMin / group.meanFeedMmPerMin
}
