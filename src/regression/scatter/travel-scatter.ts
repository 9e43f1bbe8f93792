import type { RunEvidence } from '../feed-table.js'
import { connectedLots, effectEquations, type Lots } from './common-effects.js'
import type { MarkGroup } from './mark-group.js'
import { likelyPoints, type NoiseOptions, type NoisePoint, noiseGrid, noisePosterior } from './noise-model.js'
import {
  degreesOfFreedom,
  restrictedLikelihood,
  type ScatteringMark,
  scatteringMarks,
} from './restricted-likelihood.js'
import { logDensityOfSize } from './shared-effects.js'
import { sharedTravels, travelPrior } from './travel-effects.js'

/** One possible scatter of runs, each of a travel of its own, and what part of it is the travel's. */
export interface ScatterPoint extends NoisePoint {
  /** Share of the variance from run to run that the runs of one travel have in common, 0 to 1; left out: 0. */
  readonly travelShare?: number
}

/** What runs say about their scatter, with what is the travel's in it. */
export interface ScatterPosterior {
  readonly points: readonly ScatterPoint[]
  /** Repeats beyond the first at each mark and direction, those that effects in common spend left out. */
  readonly degreesOfFreedom: number
}

/** Every other size that the fit tries: their number costs a recheck most of its time (measured: twice as long with all). */
const SIZES = travelPrior().filter((_, k) => k % 2 === 1)

/** Runs between which nothing changed on the machine, and their marks. */
interface ScatterSource {
  readonly runs: readonly RunEvidence[]
  readonly groups: readonly MarkGroup[]
}

/**
 * How far runs scatter around their marks in some lists, where the runs of one travel share a part of it. A run from rest to
 * rest is a travel of its own, so that it has both parts. Both are learned together with the priors of a fit: neither is taken
 * for the other, and what the travels cost in repeats is counted.
 *
 * @returns null where no mark was repeated
 */
export function scatterWithTravels(
  sources: readonly ScatterSource[],
  noise: NoiseOptions,
): ScatterPosterior | null {
  const groups = sources.flatMap((source) => source.groups)
  const repeated = scatteringMarks(groups)
  if (repeated.length === 0) return null
  const lots = travelsOf(sources)
  if (lots.count === 0) return noisePosterior(groups, noise)
  const isInLots = ({ runIds }: ScatteringMark) => runIds.some((runId) => lots.placeOf(runId) >= 0)
  const together = repeated.filter(isInLots)
  // Lists without a shared travel are told by the whole scatter alone.
  const apart = repeated
    .filter((mark) => !isInLots(mark))
    .map((mark) => restrictedLikelihood(mark, mark.logFeeds))
  const places = together.map((mark) => mark.runIds.map(lots.placeOf))
  const equations = effectEquations(together, places, lots.count)
  const points = noiseGrid(groups, noise).flatMap((scatter) => {
    const { logWeight, ...told } = equations(scatter)
    return SIZES.map(({ relative, weight }): ScatterPoint => {
      const whole = { ...scatter, runRelative: Math.hypot(scatter.runRelative, relative) }
      const ofTogether = logWeight + logDensityOfSize(told, relative)
      const ofApart = apart.reduce((sum, likelihood) => sum + likelihood(whole), 0)
      const travelShare = (relative / whole.runRelative) ** 2
      return { ...whole, travelShare, weight: ofTogether + ofApart + Math.log(weight) }
    })
  })
  const spent = lots.count - connectedLots(places, lots.count).length
  return { points: likelyPoints(points), degreesOfFreedom: Math.max(0, degreesOfFreedom(repeated) - spent) }
}

/** The travels of the lists in which some runs share one; there a run by itself is one too. */
function travelsOf(sources: readonly ScatterSource[]): Pick<Lots, 'count' | 'placeOf'> {
  const keyOf = new Map<string, string>()
  for (const [k, { runs }] of sources.entries()) {
    const shared = sharedTravels(runs)
    if (shared.length === 0) continue
    for (const { runId, travel } of runs) {
      const isShared = travel !== undefined && shared.includes(travel)
      keyOf.set(runId, isShared ? `${k} travel ${travel}` : `${k} run ${runId}`)
    }
  }
  const places = new Map([...new Set(keyOf.values())].map((key, place) => [key, place]))
  return { count: places.size, placeOf: (runId) => places.get(keyOf.get(runId) ?? '') ?? -1 }
}
