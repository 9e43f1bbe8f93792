import { groupByMark, type MarkFit } from '../../regression/index.js'

/**
 * Relative slope of a table's dial curve, per dial unit and negative where the feed falls, at any dial: at the marks as the fit takes it, straight between
 * them, and beyond them that of the last mark.
 */
export function relativeSlopes(
  marks: readonly Pick<MarkFit, 'dial' | 'feedMmPerMin'>[],
): (dial: number) => number {
  const moving = marks.filter((mark) => mark.feedMmPerMin > 0)
  if (moving.length === 0) return () => 0
  const groups = groupByMark(
    moving.map(({ dial, feedMmPerMin }) => ({
      runId: '',
      dial,
      direction: 1 as const,
      feedMmPerMin,
      standardUncertaintyMmPerMin: 0,
      source: 'readout' as const,
    })),
    Number.POSITIVE_INFINITY,
  )
  const slopes = groups.map(({ slopeMmPerMin, meanFeedMmPerMin }) => slopeMmPerMin / meanFeedMmPerMin)
  return (dial) => {
    const above = groups.findIndex((group) => group.dial >= dial)
    if (above === -1) return slopes.at(-1)!
    if (above === 0 || groups[above]!.dial === dial) return slopes[above]!
    const [low, high] = [groups[above - 1]!.dial, groups[above]!.dial]
    const share = (dial - low) / (high - low)
    return slopes[above - 1]! + share * (slopes[above]! - slopes[above - 1]!)
  }
}
