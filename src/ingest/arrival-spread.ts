/** Line periods remembered to know the usual one. */
const REMEMBERED = 63

/**
 * Spreads lines that arrived together. A USB adapter hands over what gathered in its buffer, so only the
 * last line of such a batch arrived when it was sent. The earlier ones are set back evenly, by the
 * usual line period at most, and never past the arrival before.
 */
export class ArrivalSpread {
  private readonly periodsS: number[] = []
  private next = 0
  private previousS: number | null = null

  /**
   * Times in s of `count` lines that all arrived at `arrivalS`, rising, the last one at `arrivalS`.
   * `followingS` is the arrival after this one, where it is known: it helps out at the very first batch.
   */
  spread(arrivalS: number, count: number, followingS: number | null): number[] {
    const gapS = this.previousS === null ? null : arrivalS - this.previousS
    this.previousS = arrivalS
    if (gapS !== null) this.remember(gapS / count)
    if (count === 1) return [arrivalS]
    const usualS = this.usualPeriodS() ?? (followingS === null ? 0 : (followingS - arrivalS) / count)
    const stepS = gapS === null ? usualS : Math.min(gapS / count, usualS)
    return Array.from({ length: count }, (_, i) => arrivalS - (count - 1 - i) * stepS)
  }

  private remember(periodS: number): void {
    this.periodsS[this.next] = periodS
    this.next = (this.next + 1) % REMEMBERED
  }

  private usualPeriodS(): number | null {
    if (this.periodsS.length === 0) return null
    const sorted = [...this.periodsS].sort((a, b) => a - b)
    return sorted[Math.floor(sorted.length / 2)]!
  }
}
