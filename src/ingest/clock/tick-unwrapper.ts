import type { TickFormat } from '../lines/line-format.js'

/** Values of a clock of 16 bits (by definition). */
export const SIXTEEN_BITS = 2 ** 16
/** Values of a clock of 32 bits (by definition). */
export const THIRTY_TWO_BITS = 2 ** 32
/**
 * How far, s, a clock may stray from the host's between two lines; beyond, it was misread or set anew. Judgement:
 * far more than lines are held back for, far less than the 65 s of a wrap.
 */
const STRAY_S = 2
/** The same as a share of the time between the lines. Judgement: twice `RATE_TOLERANCE`. */
const STRAY_RATE = 0.2

/**
 * Turns the wrapping counter of a readout into a time that only rises. The host's time tells how often
 * the counter went round in a gap: a 16-bit counter of ms comes round every 65.5 s.
 */
export class TickUnwrapper {
  private readonly format: TickFormat
  private wide: boolean
  private last: { readonly ticks: number; readonly hostS: number; readonly unwrapped: number } | null = null
  /** A stray clock is believed when the next line agrees with it. */
  private stray: { readonly ticks: number; readonly hostS: number } | null = null

  constructor(format: TickFormat) {
    this.format = format
    this.wide = format.bits === 32
  }

  /**
   * Device time in s of a line with `ticks` that arrived at `hostS`; null for a clock that jumped
   * without reason, as a damaged line shows it. A clock that stays at its new time after a jump (the
   * readout was restarted) is followed; `fitDeviceClock` then reports the jump.
   */
  next(ticks: number, hostS: number): number | null {
    if (this.format.bits === 'unsure' && ticks >= SIXTEEN_BITS) this.wide = true
    const { last, stray } = this
    if (last === null) return this.accept(ticks, hostS, ticks)
    const step = this.step(last, ticks, hostS)
    const agrees = !this.isStray(step, hostS - last.hostS)
    const agreesWithStray =
      stray !== null && !this.isStray(this.step(stray, ticks, hostS), hostS - stray.hostS)
    if (agrees || agreesWithStray) return this.accept(ticks, hostS, last.unwrapped + step)
    this.stray = { ticks, hostS }
    return null
  }

  /** Counts in whole ticks, so that no rounding adds up over a long recording. */
  private accept(ticks: number, hostS: number, unwrapped: number): number {
    this.last = { ticks, hostS, unwrapped }
    this.stray = null
    return unwrapped * this.format.secondsPerTick
  }

  /** Ticks passed since an earlier line. */
  private step(
    since: { readonly ticks: number; readonly hostS: number },
    ticks: number,
    hostS: number,
  ): number {
    const delta = ticks - since.ticks
    if (this.format.bits === null) return delta
    const modulus = this.wide ? THIRTY_TWO_BITS : SIXTEEN_BITS
    const expected = (hostS - since.hostS) / this.format.secondsPerTick
    return delta + Math.round((expected - delta) / modulus) * modulus
  }

  private isStray(stepTicks: number, hostGapS: number): boolean {
    const deviceS = stepTicks * this.format.secondsPerTick
    return Math.abs(deviceS - hostGapS) > STRAY_S + STRAY_RATE * hostGapS
  }
}
