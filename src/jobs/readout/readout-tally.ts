import type { RejectedLine, Sample } from '../../ingest/index.js'

/** What came from a readout so far. */
export interface ReadoutSummary {
  readonly positionMm: number | null
  /** Over the last second, with its sign. */
  readonly speedMmPerMin: number
  readonly highestSpeedMmPerMin: number
  /** From the lowest to the highest position, mm. */
  readonly travelMm: number
  /** Readings a second over the last few seconds; null before there are any. */
  readonly refreshHz: number | null
  readonly samples: number
  /** Readings that the beat lacks: gaps of a whole number of periods. */
  readonly lost: number
  /** Lines that gave no reading, by reason. */
  readonly refused: Readonly<Partial<Record<RejectedLine['code'], number>>>
}

/** Time over which the speed is told, s. Judgement: shorter flickers, longer lags behind the table. */
const SPEED_OVER_S = 1
/** The same for the rate of the lines, s. Judgement: it changes less. */
const RATE_OVER_S = 4
/** Readings over which a period is averaged. Judgement: a few batches of an adapter. */
const PERIOD_SPAN = 8
/**
 * Share of spans that are taken to lack no reading. Derived: with one line in five lost a span of eight is whole
 * so often, 0.8^8 = 0.17.
 */
const SHORT_SPANS = 0.15
/** Readings below which a bunch or a gap may be the usual. Derived: one more than a span. */
const FEWEST_RECENT = 9
/** Readings after which the usual period is looked up anew. Judgement: it hardly changes. */
const RENEWED_AFTER = 16
/**
 * Usual periods beyond which a gap lacks readings. Judgement: between the 1.5 at which one is nearer to two and
 * the 2 that it then is, for late lines.
 */
const GAP_PERIODS = 1.75

/** Counts what comes from a readout, for showing it live. Knows no clock: samples bring their time. */
export class ReadoutTally {
  #recent: Sample[] = []
  #last: Sample | null = null
  #lowMm = Number.POSITIVE_INFINITY
  #highMm = Number.NEGATIVE_INFINITY
  #highestSpeed = 0
  #usualS: number | null = null
  #samples = 0
  #lost = 0
  readonly #refused: Partial<Record<RejectedLine['code'], number>> = {}

  /** Takes the next sample. */
  add(sample: Sample): void {
    // It hardly changes, and a fast readout leaves no time to sort at every line.
    if (this.#usualS === null || this.#samples % RENEWED_AFTER === 0) this.#usualS = this.#periodS()
    const periodS = this.#usualS
    if (this.#last !== null && periodS !== null) {
      const periods = (sample.timeS - this.#last.timeS) / periodS
      if (periods > GAP_PERIODS) this.#lost += Math.round(periods) - 1
    }
    this.#last = sample
    this.#samples += 1
    this.#lowMm = Math.min(this.#lowMm, sample.positionMm)
    this.#highMm = Math.max(this.#highMm, sample.positionMm)
    this.#recent.push(sample)
    while (this.#recent.length > FEWEST_RECENT && sample.timeS - this.#recent[0]!.timeS > RATE_OVER_S)
      this.#recent.shift()
    if (sample.timeS - this.#recent[0]!.timeS >= SPEED_OVER_S) {
      this.#highestSpeed = Math.max(this.#highestSpeed, Math.abs(this.#speed()))
    }
  }

  /** Counts a line that gave no sample. */
  refuse({ code }: RejectedLine): void {
    this.#refused[code] = (this.#refused[code] ?? 0) + 1
  }

  get summary(): ReadoutSummary {
    const periodS = this.#periodS()
    return {
      positionMm: this.#last?.positionMm ?? null,
      speedMmPerMin: this.#speed(),
      highestSpeedMmPerMin: this.#highestSpeed,
      travelMm: this.#samples === 0 ? 0 : this.#highMm - this.#lowMm,
      refreshHz: periodS === null ? null : 1 / periodS,
      samples: this.#samples,
      lost: this.#lost,
      refused: { ...this.#refused },
    }
  }

  /**
   * Usual time between readings, of spans of several, since adapters bunch lines. A short span lacks no reading and tells
   * how many periods the others are long, gaps included.
   */
  #periodS(): number | null {
    const recent = this.#recent
    if (recent.length < FEWEST_RECENT) return null
    const span = Math.min(PERIOD_SPAN, Math.floor(recent.length / 2))
    const spansS = recent.slice(span).map((sample, i) => sample.timeS - recent[i]!.timeS)
    const shortS = spansS.toSorted((a, b) => a - b)[Math.floor(SHORT_SPANS * (spansS.length - 1))]! / span
    if (!(shortS > 0)) return null
    const elapsedS = spansS.reduce((sum, one) => sum + one, 0)
    return elapsedS / spansS.reduce((sum, one) => sum + Math.max(span, Math.round(one / shortS)), 0)
  }

  #speed(): number {
    const last = this.#last
    if (last === null) return 0
    const first = this.#recent.find((sample) => last.timeS - sample.timeS <= SPEED_OVER_S) ?? last
    const elapsedS = last.timeS - first.timeS
    return elapsedS > 0 ? (60 * (last.positionMm - first.positionMm)) / elapsedS : 0
  }
}
