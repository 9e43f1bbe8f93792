import type { Sample } from '../ingest/index.js'
import { feedUnit, fromMm, type LengthUnit } from '../units/index.js'
import { formatLength } from './render/numbers.js'
import { showStatus } from './terminal.js'

/** Speed is shown over this long, so that a coarse readout does not flicker, s. */
const SPEED_OVER_S = 1
/** The line is redrawn at most this often, s. */
const REDRAW_S = 0.2

/** Shows position and speed in place while a readout is followed. */
export class LiveDisplay {
  readonly #unit: LengthUnit
  #recent: Sample[] = []
  #drawnS = Number.NEGATIVE_INFINITY
  #label = ''

  constructor(unit: LengthUnit) {
    this.#unit = unit
  }

  /** Words in front of the numbers, such as the step that is waited for. */
  set label(text: string) {
    this.#label = text
    this.#drawnS = Number.NEGATIVE_INFINITY
  }

  /** Takes the next sample and redraws when it is time. */
  show(sample: Sample): void {
    this.#recent.push(sample)
    while (this.#recent.length > 2 && sample.timeS - this.#recent[0]!.timeS > SPEED_OVER_S)
      this.#recent.shift()
    if (sample.timeS - this.#drawnS < REDRAW_S) return
    this.#drawnS = sample.timeS
    const speed = fromMm(Math.abs(this.#speedMmPerMin()), this.#unit).toFixed(this.#unit === 'in' ? 2 : 0)
    showStatus(
      `${this.#label}  ${formatLength(sample.positionMm, this.#unit)}   ${speed} ${feedUnit(this.#unit)}`,
    )
  }

  #speedMmPerMin(): number {
    const first = this.#recent[0]!
    const last = this.#recent.at(-1)!
    const elapsedS = last.timeS - first.timeS
    return elapsedS > 0 ? (60 * (last.positionMm - first.positionMm)) / elapsedS : 0
  }
}
