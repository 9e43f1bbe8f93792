import type { RejectedLine, Sample } from '../../ingest/index.js'
import { type ReadoutSummary, ReadoutTally } from '../../jobs/index.js'
import { feedUnit, formatLength, fromMm, type LengthUnit } from '../../units/index.js'
import { showStatus } from '../terminal/terminal.js'

/** The line is redrawn at most this often, s. Judgement: as often as a person can read it. */
const REDRAW_S = 0.2

/** Shows position and speed in place while a readout is followed. */
export class LiveDisplay {
  readonly #unit: LengthUnit
  readonly #details: boolean
  readonly #tally = new ReadoutTally()
  #drawnS = Number.NEGATIVE_INFINITY
  #label = ''

  /** @param options.details also shows refresh rate and what was lost or refused */
  constructor(unit: LengthUnit, options: { readonly details?: boolean } = {}) {
    this.#unit = unit
    this.#details = options.details === true
  }

  /** Words in front of the numbers, such as the step that is waited for. */
  set label(text: string) {
    this.#label = text
    this.#drawnS = Number.NEGATIVE_INFINITY
  }

  /** What came so far. */
  get summary(): ReadoutSummary {
    return this.#tally.summary
  }

  /** Takes the next sample and redraws when it is time. */
  show(sample: Sample): void {
    this.#tally.add(sample)
    if (sample.timeS - this.#drawnS < REDRAW_S) return
    this.#drawnS = sample.timeS
    showStatus(`${this.#label}  ${this.text()}`)
  }

  /** Nothing came for so long, s: the speed of the last second is no longer that of now. */
  silent(silentS: number): void {
    const position = formatLength(this.#tally.summary.positionMm ?? 0, this.#unit)
    showStatus(`${this.#label}  ${position}   no reading for ${silentS.toFixed(0)} s`)
  }

  /** Counts a line that gave no sample. */
  refuse(rejected: RejectedLine): void {
    this.#tally.refuse(rejected)
  }

  /** Position and speed as a line of text. */
  text(): string {
    const summary = this.#tally.summary
    const unit = this.#unit
    const speed = fromMm(Math.abs(summary.speedMmPerMin), unit).toFixed(unit === 'in' ? 2 : 0)
    const motion = `${formatLength(summary.positionMm ?? 0, unit)}   ${speed} ${feedUnit(unit)}`
    return this.#details ? `${motion}   ${detailText(summary)}` : motion
  }
}

/** `10.0 Hz   2 lost   1 refused`. */
function detailText({ refreshHz, lost, refused }: ReadoutSummary): string {
  const count = Object.values(refused).reduce((sum, one) => sum + one, 0)
  return `${refreshHz === null ? '– Hz' : `${refreshHz.toFixed(1)} Hz`}   ${lost} lost   ${count} refused`
}
