import type { Direction } from '../../traverse/index.js'
import type { RunEvidence } from '../feed-table.js'
import { commonEffects, type EffectSize } from './common-effects.js'
import type { ShiftVariances } from './mark-fit.js'
import type { MarkGroup } from './mark-group.js'
import type { NoiseOptions, NoisePosterior } from './noise-model.js'
import { sizePrior } from './size-grid.js'

/** What the runs of each travel have in common, taken out of them, and what that leaves open; of the log feed. */
export interface TravelEffects {
  /** What to take off the log feed of each run. */
  readonly logShifts: ReadonlyMap<string, number>
  readonly variancesOf: (mark: MarkGroup) => ShiftVariances
  /** Variance of the mean effect over all marks of a direction: an error of level that they share. */
  readonly levelVarianceOf: (direction: Direction) => number
  /** Variance of the effect of a travel to come. */
  readonly aheadVariance: number
  /** Scatter of the runs beside the effects; null where no mark was repeated. */
  readonly posterior: NoisePosterior | null
}

/**
 * Scale of the half-Cauchy prior of the effect of a travel, relative standard deviation: it is the run-to-run scatter of
 * the drive (voltage, grease, warmth), met from 0.3 to 2 % (common practice, no source), whose middle this is.
 */
const TRAVEL_SCALE = 0.007
/** Sizes tried, geometric. Judgement: smaller ones do not show, larger ones are no one travel's. */
const SIZES = { from: 0.0005, to: 0.08, count: 16 }

/**
 * Runs of one travel, in which the dial was turned from setting to setting, share what changes from run to run: to count
 * them as independent would take a few travels for many. Each travel has an effect on the log feed of its runs
 * (`commonEffects`), with a half-Cauchy prior of its size.
 *
 * @param groups marks of both directions
 * @returns null where no travel has more than one run
 */
export function travelEffects(
  runs: readonly RunEvidence[],
  groups: readonly MarkGroup[],
  options: NoiseOptions,
): TravelEffects | null {
  const shared = sharedTravels(runs)
  if (shared.length === 0) return null
  const travelOf = new Map(runs.map(({ runId, travel }) => [runId, travel]))
  const place = new Map(shared.map((travel, index) => [travel, index]))
  const placeOf = (runId: string): number => place.get(travelOf.get(runId) ?? '') ?? -1
  const found = commonEffects(groups, { count: shared.length, placeOf, prior: travelPrior() }, options)
  const shareOf = (runIds: readonly string[]): number[] =>
    shared.map((_, i) => runIds.filter((runId) => placeOf(runId) === i).length / runIds.length)
  const levelOf = (direction: Direction): number[] => {
    const own = groups.filter((group) => group.direction === direction).map(({ runIds }) => shareOf(runIds))
    return shared.map((_, i) => own.reduce((sum, share) => sum + share[i]! / own.length, 0))
  }
  const level = new Map(([1, -1] as const).map((direction) => [direction, levelOf(direction)]))
  return {
    logShifts: new Map(runs.map(({ runId }) => [runId, found.meanOf(shareOf([runId]))])),
    variancesOf: (mark) => {
      const [share, ofLevel] = [shareOf(mark.runIds), level.get(mark.direction)!]
      return {
        whole: found.varianceOf(share),
        beside: found.varianceOf(share.map((value, i) => value - ofLevel[i]!)),
        ahead: found.aheadVariance,
      }
    },
    levelVarianceOf: (direction) => found.varianceOf(level.get(direction)!),
    aheadVariance: found.aheadVariance,
    posterior: found.posterior,
  }
}

/** The travels that have more than one run, in an order of their own. */
export function sharedTravels(runs: readonly RunEvidence[]): string[] {
  const all = runs.flatMap(({ travel }) => travel ?? [])
  return [...new Set(all.filter((travel, i) => all.indexOf(travel) < i))].sort()
}

/** Sizes that the effect of a travel may have, and how probable each is beforehand. */
export function travelPrior(): EffectSize[] {
  return sizePrior(SIZES, (size) => size / (1 + (size / TRAVEL_SCALE) ** 2)).map(({ size, weight }) => ({
    relative: size,
    weight,
  }))
}
