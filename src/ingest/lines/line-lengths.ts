import { GrowingColumn } from './growing-column.js'

/** The lengths of the lines that gave samples. Most readouts send lines of one length, which then cost no memory. */
export class LineLengths {
  private common: number | null = null
  private count = 0
  private varied: GrowingColumn | null = null

  push(bytes: number): void {
    this.common ??= bytes
    if (this.varied === null && bytes !== this.common) {
      this.varied = new GrowingColumn()
      for (let i = 0; i < this.count; i += 1) this.varied.push(this.common)
    }
    this.varied?.push(bytes)
    this.count += 1
  }

  /** Null where all lines were alike. */
  values(): Float64Array | null {
    return this.varied?.values() ?? null
  }
}
