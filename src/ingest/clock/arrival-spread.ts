import { medianHigh } from '../../numbers/index.js'

/**
 * Line periods remembered to know the usual one. Judgement: odd, so that the median is one of them; a few seconds
 * of a usual readout.
 */
const REMEMBERED = 63
/**
 * Arrivals after which the usual period is looked up anew. Judgement: it hardly changes, and sorting at every line
 * costs.
 */
const RENEWED_AFTER = 16

/**
 * Spreads lines that arrived together. A USB adapter hands over what gathered in its buffer, so only the
 * last line of such a batch arrived when it was sent. The earlier ones are set back evenly, by the
 * usual line period at most, and never past the arrival before.
 */
export class ArrivalSpread {
  private readonly periodsS: number[] = []
  private arrivals = 0
  private previousS: number | null = null
  private usualS: number | null = null

  /**
   * Time in s between the `count` lines that all arrived at `arrivalS`, the last one then and the others
   * before. `followingS` is the arrival after this one, where it is known: it helps out at the first batch.
   */
  stepS(arrivalS: number, count: number, followingS: number | null): number {
    const gapS = this.previousS === null ? null : arrivalS - this.previousS
    this.previousS = arrivalS
    if (gapS !== null) this.remember(gapS / count)
    if (count === 1) return 0
    if (gapS === null) return followingS === null ? 0 : (followingS - arrivalS) / count
    return Math.min(gapS / count, this.usualS!)
  }

  private remember(periodS: number): void {
    this.periodsS[this.arrivals % REMEMBERED] = periodS
    this.arrivals += 1
    if (this.arrivals > REMEMBERED && this.arrivals % RENEWED_AFTER !== 0) return
    this.usualS = medianHigh(this.periodsS)
  }
}
