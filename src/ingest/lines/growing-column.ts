/** A column of numbers that grows cheaply, for samples that come one by one. */
export class GrowingColumn {
  private numbers = new Float64Array(1024)
  private length = 0

  push(value: number): void {
    if (this.length === this.numbers.length) {
      const larger = new Float64Array(this.numbers.length * 2)
      larger.set(this.numbers)
      this.numbers = larger
    }
    this.numbers[this.length++] = value
  }

  /** A copy of what was pushed. */
  values(): Float64Array {
    return this.numbers.slice(0, this.length)
  }
}
