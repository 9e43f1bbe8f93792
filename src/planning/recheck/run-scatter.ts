import {
  type FitOptions,
  type MarkGroup,
  type NoisePosterior,
  noiseOptions,
  noisePosterior,
  ofMeanSession,
  type RunEvidence,
  withoutTravels,
} from '../../regression/index.js'

/** How far runs scatter, and travels through several settings. */
export interface RunScatter {
  readonly posterior: NoisePosterior
  /**
   * Standard deviation of what the runs of one travel through several settings have in common, as a multiple of the
   * run-to-run scatter.
   */
  readonly travelsPerRun: number
}

/**
 * Learns how far runs scatter around the means of their marks; what the runs of a session or a travel have in common is
 * taken out before. How far travels differ is told by those of earlier runs; where there are none, as runs differ that
 * were travels of their own, which is the most that it can be.
 *
 * @param earlier lists of runs between which nothing changed on the machine
 * @param now the runs that are held against them
 * @returns null where no mark was repeated
 */
export function runScatter(
  earlier: readonly (readonly RunEvidence[])[],
  now: readonly RunEvidence[],
  grouped: (runs: readonly RunEvidence[]) => readonly MarkGroup[],
  { stepped, dialClicks }: FitOptions,
): RunScatter | null {
  const options = { stepped, ...(dialClicks ? { dialClicks } : {}) }
  const noise = noiseOptions(options)
  const before = earlier.map((runs) => withoutTravels(ofMeanSession(runs, options), noise))
  const groups = before.flatMap(({ runs }) => grouped(runs))
  // New runs of one travel agree better than runs do: they tell the scatter only where nothing else does.
  const today = ofMeanSession(now, options)
  const apart = today.filter((run) => run.travel === undefined)
  const posterior =
    noisePosterior([...groups, ...grouped(apart)], noise) ??
    noisePosterior([...groups, ...grouped(today)], noise)
  if (posterior === null) return null
  const shown = before.flatMap(({ aheadVariance }) => aheadVariance ?? [])
  if (shown.length === 0) return { posterior, travelsPerRun: 1 }
  const runVariance = posterior.points.reduce((sum, point) => sum + point.weight * point.runRelative ** 2, 0)
  return { posterior, travelsPerRun: Math.sqrt(Math.max(...shown) / runVariance) }
}
