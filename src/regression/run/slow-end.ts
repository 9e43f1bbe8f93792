import { lineAt, straightLine, studentTQuantile } from '../../numbers/index.js'

/** A traverse whose first or last stretch was slower than the rest of it. */
export interface SlowEnd {
  readonly end: 'first' | 'last'
  /** Speed between that reading and its neighbour over the speed of the others. */
  readonly speedRatio: number
}

/**
 * One-sided level at which a stretch is taken for slower. Measured on drawn films (`scripts/proof/film-by-hand.ts`): at most
 * 3 sound films of 100 are asked about for nothing, which costs a look at the film; of 100 whose first reading was taken
 * before the table moved, 95 or more are told or refused.
 */
const SLOWER_LEVEL = 0.025

/**
 * Whether the first or the last of three or more readings was taken while the table was not up to speed: before the drive
 * had run up, or after it was let go. Each is held against the line through the others (prediction of a new observation,
 * e.g. N. R. Draper and H. Smith, Applied Regression Analysis, 3rd ed. 1998, 3.1), one-sided, as a slow end moves it one way
 * alone. The slower of two ends is given.
 *
 * @param timeS s, rising
 * @param positionMm mm, all rising or all falling
 * @param readingS standard uncertainty of the time of one reading, s
 * @param degreesOfFreedom how well that is known
 */
export function slowEnd(
  { timeS, positionMm }: { readonly timeS: readonly number[]; readonly positionMm: readonly number[] },
  readingS: number,
  degreesOfFreedom: number,
): SlowEnd | null {
  const last = timeS.length - 1
  if (last < 2) return null
  const limit = studentTQuantile(1 - SLOWER_LEVEL, degreesOfFreedom)
  const found = [
    { end: 'first' as const, at: 0, next: 1, others: [1, last + 1] as const },
    { end: 'last' as const, at: last, next: last - 1, others: [0, last] as const },
  ].map(({ end, at, next, others }) => {
    const line = straightLine(timeS, positionMm, ...others)
    // A reading before full speed lies further on than the others lead back to; one after the drive let go lags behind.
    const lateS = (lineAt(line, timeS[at]!) - positionMm[at]!) / line.slope
    const lostS = end === 'first' ? -lateS : lateS
    const predictedS =
      readingS * Math.sqrt(1 + 1 / line.samples + (timeS[at]! - line.meanX) ** 2 / line.sumOfSquaresX)
    const speed = (positionMm[at]! - positionMm[next]!) / (timeS[at]! - timeS[next]!)
    return { end, speedRatio: speed / line.slope, times: lostS / predictedS }
  })
  const [slowest] = found.toSorted((a, b) => b.times - a.times)
  return slowest !== undefined && slowest.times > limit
    ? { end: slowest.end, speedRatio: slowest.speedRatio }
    : null
}
