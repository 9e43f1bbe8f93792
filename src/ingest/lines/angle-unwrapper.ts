import { FULL_TURN_DEG } from '../../units/index.js'

/**
 * A change from one line to the next that is taken for the step from 359.99° to 0°, as a share of a turn. Derived: the
 * table itself may turn by a quarter of a turn between two lines, which at one line a second is 15 turns a minute, and
 * no power feed turns a table so fast.
 */
const WRAP = [0.75, 1.25] as const

/**
 * Makes the angle of a readout that begins again after a full turn go on: 359.9, 0.3 becomes 359.9, 360.3. Readouts
 * that go from −180° to 180° do the same. The lines themselves are kept as they came.
 */
export class AngleUnwrapper {
  private last: number | null = null
  private addedDeg = 0

  /** The angle of the next line, going on from the one before it, degrees. */
  next(shownDeg: number): number {
    const step = this.last === null ? 0 : shownDeg - this.last
    const turns = Math.abs(step) / FULL_TURN_DEG
    if (turns > WRAP[0] && turns < WRAP[1]) this.addedDeg -= Math.sign(step) * FULL_TURN_DEG
    this.last = shownDeg
    return shownDeg + this.addedDeg
  }
}
