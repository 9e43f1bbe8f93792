/**
 * Arrivals that the usual time between two is told from. Judgement: enough to cover a few batches of an adapter.
 */
const ARRIVALS_KEPT = 16
/**
 * Usual times without a line that are silence. Derived: a readout that loses one line in five lacks four in a row
 * once in 625 times (0.2⁴), so that five tell a pause from lost lines.
 */
const SILENT_PERIODS = 5
/**
 * Shortest silence, s. Judgement: adapters and loaded computers hold lines back for tenths of a second (0.4 s at
 * most).
 */
const SHORTEST_SILENCE_S = 1

/** Tells when a readout that used to send has fallen silent. Knows no clock: every call brings its time. */
export class SilenceWatch {
  #arrivals: number[] = []
  #told = false

  /** A line arrived at this time, s. */
  heard(timeS: number): void {
    this.#told = false
    this.#arrivals.push(timeS)
    if (this.#arrivals.length > ARRIVALS_KEPT) this.#arrivals.shift()
  }

  /** The lines broke off for another reason, which is told by itself. */
  forget(): void {
    this.#arrivals = []
    this.#told = false
  }

  /**
   * To be asked now and then.
   *
   * @returns for how long nothing came, s, the first time that this is a silence; else null
   */
  look(nowS: number): number | null {
    const [first, last] = [this.#arrivals[0], this.#arrivals.at(-1)]
    if (this.#told || first === undefined || last === undefined || last === first) return null
    const periodS = (last - first) / (this.#arrivals.length - 1)
    const silentS = nowS - last
    if (silentS < Math.max(SHORTEST_SILENCE_S, SILENT_PERIODS * periodS)) return null
    this.#told = true
    return silentS
  }
}
