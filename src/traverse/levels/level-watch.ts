import { straightLine } from '../../numbers/index.js'
import { levelPoints, UNSEEN_RIPPLE_MM } from './level-points.js'
import { splitLevels } from './split-levels.js'

/** The level of speed that the table is in. */
interface HeldLevel {
  /** How long it has shown, s, and how far the table went meanwhile, mm. */
  readonly heldS: number
  readonly wayMm: number
  /** Always positive, mm/s. */
  readonly speedMmPerS: number
  /** Whether a turn of the knob showed before it: another level lies before, or the watch began at rest. */
  readonly isNew: boolean
}

/** Time, s, from which on a level shows. Judgement: less is a rest of the hand on its way. */
const SHOWS_S = 3
/**
 * How much a change of speed must better the sum of squares, in variances, beside usual ripple and lines that come
 * late; see `SplitOptions`. Judgement, as `ROUGH` of `find-levels.ts`.
 */
const TELLS = 150
/**
 * Share by which two speeds of the same setting may differ, with its ripple and drift. Judgement: less than two
 * marks of any dial do.
 */
const SAME_SHARE = 0.004
/**
 * Time, s, beyond which what lies further back says nothing of now. Judgement: the search grows with its square.
 */
const LOOKS_BACK_S = 90

/** Sees in samples as they come when the table holds a speed, and whether that is another than before. Asks no clock. */
export class LevelWatch {
  readonly #floorMm: number
  #timeS: number[] = []
  #positionMm: number[] = []
  /** Speed of the level that the search begins in, mm/s; null where it begins at a rest. */
  #beforeMmPerS: number | null = null

  /** @throws RangeError where the position step is not positive */
  constructor(positionStepMm: number) {
    if (!(positionStepMm > 0))
      throw new RangeError(`A position step must be positive, not ${positionStepMm} mm.`)
    this.#floorMm = Math.max(UNSEEN_RIPPLE_MM, positionStepMm / 2)
  }

  /** Takes the next sample. Samples that go back in time are passed over. */
  add(timeS: number, positionMm: number): void {
    if (timeS < (this.#timeS.at(-1) ?? timeS)) return
    this.#timeS.push(timeS)
    this.#positionMm.push(positionMm)
    const old = this.#timeS.findIndex((at) => at >= timeS - LOOKS_BACK_S)
    if (old > 0) this.#dropBefore(old)
  }

  /** The level at the latest sample; null while the speed changes, and until it shows. */
  look(): HeldLevel | null {
    const track = { timeS: Float64Array.from(this.#timeS), positionMm: Float64Array.from(this.#positionMm) }
    const n = track.timeS.length
    if (n < 8 || track.timeS[n - 1]! - track.timeS[0]! < SHOWS_S) return null
    const points = levelPoints(track, { from: 0, to: n }, this.#floorMm)
    const last = splitLevels(points, { leastS: SHOWS_S, perLevel: TELLS }).at(-1)
    // A point or two may lie off by chance.
    if (last === undefined || last.to < points.timeS.length - 2) return null
    const { slope } = straightLine(points.timeS, points.positionMm, last.from, last.to)
    const speedMmPerS = Math.abs(slope)
    const before = this.#beforeMmPerS
    return {
      heldS: points.timeS[last.to - 1]! - points.timeS[last.from]!,
      wayMm: Math.abs(points.positionMm[last.to - 1]! - points.positionMm[last.from]!),
      speedMmPerS,
      isNew: before === null || (last.from > 0 && Math.abs(speedMmPerS / before - 1) > SAME_SHARE),
    }
  }

  /** From now on another level is looked for; the one at the latest sample is the one before it. */
  expectAnother(level: HeldLevel): void {
    this.#beforeMmPerS = level.speedMmPerS
    const nowS = this.#timeS.at(-1) ?? 0
    const from = this.#timeS.findIndex((at) => at >= nowS - level.heldS / 2)
    this.#dropBefore(Math.max(0, from))
  }

  #dropBefore(index: number): void {
    this.#timeS = this.#timeS.slice(index)
    this.#positionMm = this.#positionMm.slice(index)
  }
}
