import type { TickFormat } from './line-format.js'

const SIXTEEN_BITS = 2 ** 16
const THIRTY_TWO_BITS = 2 ** 32
/** A clock that strays this far from the host's between two lines was misread, or was set anew. */
const STRAY_S = 2
const STRAY_RATE = 0.2

/**
 * Turns the wrapping counter of a readout into a time that only rises. The host's time tells how often
 * the counter went round in a gap: a 16-bit counter of ms comes round every 65.5 s.
 */
export class TickUnwrapper {
  private readonly format: TickFormat
  private wide: boolean
  private lastTicks: number | null = null
  private lastHostS = 0
  private lastDeviceS = 0
  /** A stray clock is believed when the next line agrees with it. */
  private stray: { ticks: number; hostS: number } | null = null

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
    if (this.lastTicks === null) return this.accept(ticks, hostS, ticks * this.format.secondsPerTick)
    const stepS = this.stepS(ticks - this.lastTicks, hostS - this.lastHostS)
    if (!isStray(stepS, hostS - this.lastHostS)) return this.accept(ticks, hostS, this.lastDeviceS + stepS)
    const { stray } = this
    if (
      stray !== null &&
      !isStray(this.stepS(ticks - stray.ticks, hostS - stray.hostS), hostS - stray.hostS)
    ) {
      return this.accept(ticks, hostS, this.lastDeviceS + stepS)
    }
    this.stray = { ticks, hostS }
    return null
  }

  private accept(ticks: number, hostS: number, deviceS: number): number {
    this.lastTicks = ticks
    this.lastHostS = hostS
    this.lastDeviceS = deviceS
    this.stray = null
    return deviceS
  }

  private stepS(deltaTicks: number, hostGapS: number): number {
    const { secondsPerTick, bits } = this.format
    if (bits === null) return deltaTicks * secondsPerTick
    const modulus = this.wide ? THIRTY_TWO_BITS : SIXTEEN_BITS
    const rounds = Math.round((hostGapS / secondsPerTick - deltaTicks) / modulus)
    return (deltaTicks + rounds * modulus) * secondsPerTick
  }
}

function isStray(deviceStepS: number, hostGapS: number): boolean {
  return Math.abs(deviceStepS - hostGapS) > STRAY_S + STRAY_RATE * hostGapS
}
