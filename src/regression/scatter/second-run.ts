import { relativeHalfWidth } from '../relative-half-width.js'
import { fitMark } from './mark-fit.js'
import type { MarkGroup } from './mark-group.js'
import { likelyPoints, type NoisePosterior } from './noise-model.js'
import { restrictedLikelihood, scatteringMarks } from './restricted-likelihood.js'

/**
 * Relative half width of the next setting at every mark that moves: as it is, and as a second run at each mark would
 * make it if the machine scattered as the middle of the posterior. The second runs are put as far from the first as that
 * scatter has them on average, and the fit is asked.
 *
 * @param posterior of runs of which none was repeated
 */
export function nextHalfWidths(
  groups: readonly MarkGroup[],
  posterior: NoisePosterior,
): { readonly now: readonly number[]; readonly withSecondRun: readonly number[] } {
  const moving = groups.filter((group) => !group.creeps)
  const runRelative = middle(posterior, (point) => point.runRelative)
  const dialReset = middle(posterior, (point) => point.dialReset)
  const repeated = moving.map((group): MarkGroup => {
    const deviation = Math.hypot(runRelative, (group.slopeMmPerMin / group.meanFeedMmPerMin) * dialReset)
    // Two runs this far on either side of their mean have that standard deviation.
    const factor = Math.exp(deviation / Math.SQRT2)
    const [own] = group.relativeUncertainties
    return {
      ...group,
      feedsMmPerMin: [group.meanFeedMmPerMin / factor, group.meanFeedMmPerMin * factor],
      relativeUncertainties: [own!, own!],
      settings: [[0], [1]],
    }
  })
  const likelihoods = scatteringMarks(repeated).map((mark) => restrictedLikelihood(mark, mark.logFeeds))
  const learned = likelyPoints(
    posterior.points.map((point) => ({
      ...point,
      weight: likelihoods.reduce((sum, likelihood) => sum + likelihood(point), Math.log(point.weight)),
    })),
  )
  const half = (group: MarkGroup, of: NoisePosterior) => {
    const { feedMmPerMin, nextSetting95 } = fitMark(group, of)
    return relativeHalfWidth({ feedMmPerMin, interval95: nextSetting95 })!
  }
  return {
    now: moving.map((group) => half(group, posterior)),
    withSecondRun: repeated.map((group) =>
      half(group, { points: learned, degreesOfFreedom: likelihoods.length }),
    ),
  }
}

/** Median of a scatter over the posterior. */
function middle({ points }: NoisePosterior, of: (point: NoisePosterior['points'][number]) => number): number {
  const rising = points
    .map((point) => ({ size: of(point), weight: point.weight }))
    .sort((a, b) => a.size - b.size)
  let below = 0
  for (const { size, weight } of rising) {
    below += weight
    if (below >= 0.5) return size
  }
  return 0
}
