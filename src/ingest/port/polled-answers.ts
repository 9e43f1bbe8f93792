import { medianHigh } from '../../numbers/index.js'
import type { StampedLine } from '../lines/stamped-line.js'

/** What became of the requests so far; `requests` = `answers` + `late` + `missing` + the one that may be open. */
export interface PollCounts {
  readonly requests: number
  /** Answers that came in time and were handed out. */
  readonly answers: number
  /** Answers that came after their time was up; they are refused. */
  readonly late: number
  /** Requests without an answer so far. */
  readonly missing: number
  /** Half of the usual round trip: a reading was taken within so much of its stamp, s; null before an answer. */
  readonly halfRoundTripS: number | null
}

interface PolledAnswersOptions {
  readonly intervalS: number
  readonly answerTimeoutS: number
  /** Called for every answer, stamped with the middle of its request and its arrival. */
  readonly onAnswer: (line: StampedLine) => void
  /** Called for a line that answers nothing, or too late. */
  readonly onUnasked: (line: StampedLine) => void
}

/**
 * Round trips remembered to know the usual one. Judgement: odd, so that the median is one of them; ten seconds of
 * a usual readout.
 */
const REMEMBERED = 101

/**
 * Pairs requests with answers, one at a time. It knows no clock: every call brings the time.
 *
 * A reading was taken between its request and its answer, so its stamp is the middle of both, and half of the round
 * trip is how far that may be off (`withinS`). The usual half trip shifts all stamps alike and reaches no feed; what
 * varies of it lies in the spacing of the samples, where the scatter about the fitted line includes it.
 *
 * After a request without an answer nothing is asked for another timeout, in which the late answer is refused. An
 * answer that is still owed after that cannot be told from the next one at sight, so that one is held until the next
 * request is due: if a second line comes, the first was the late one. Readouts answer in order; an answer later than
 * two timeouts whose successor is lost as well is beyond telling.
 */
export class PolledAnswers {
  readonly #options: PolledAnswersOptions
  #state: 'idle' | 'waiting' | 'quiet' = 'idle'
  #sentS = 0
  #nextS = Number.NEGATIVE_INFINITY
  #quietUntilS = 0
  /** Answers that were given up and may yet come. */
  #owed = 0
  #held: StampedLine | null = null
  #requests = 0
  #answers = 0
  #late = 0
  #missing = 0
  readonly #halfTripsS: number[] = []

  constructor(options: PolledAnswersOptions) {
    this.#options = options
  }

  /** Whether a request is to be written now; the caller then writes it and calls `sent`. */
  due(nowS: number): boolean {
    if (this.#state === 'waiting' && nowS - this.#sentS >= this.#options.answerTimeoutS) {
      this.#missing += 1
      this.#owed += 1
      this.#state = 'quiet'
      this.#quietUntilS = nowS + this.#options.answerTimeoutS
    }
    if (this.#state === 'quiet' && nowS >= this.#quietUntilS) this.#state = 'idle'
    return this.#state === 'idle' && nowS >= this.#nextS
  }

  /** A request goes out. */
  sent(nowS: number): void {
    if (this.#held !== null) {
      // Nothing followed it within the interval, so it was the answer, and what is owed will not come.
      const held = this.#held
      this.#held = null
      this.#owed = 0
      this.#answer(held)
    }
    this.#requests += 1
    this.#state = 'waiting'
    this.#sentS = nowS
    // On the beat where it can be held, anew from here where not.
    const { intervalS } = this.#options
    const beatS = this.#requests === 1 ? nowS : this.#nextS
    this.#nextS = Math.max(beatS + intervalS, nowS + intervalS / 2)
  }

  /** Takes a line that came. */
  take(line: StampedLine): void {
    if (this.#held !== null) {
      this.#refuse(this.#held)
      this.#held = null
      this.#owed -= 1
      this.#settle(this.#stamped(line))
    } else if (this.#state === 'waiting') {
      this.#state = 'idle'
      this.#settle(this.#stamped(line))
    } else {
      this.#refuse(line)
      if (this.#owed > 0) this.#owed -= 1
      // What was waited for has come: ask again.
      if (this.#owed === 0 && this.#state === 'quiet') this.#state = 'idle'
    }
  }

  /** When `due` is worth asking again, s. */
  get lookAtS(): number {
    if (this.#state === 'waiting') return this.#sentS + this.#options.answerTimeoutS
    return this.#state === 'quiet' ? this.#quietUntilS : this.#nextS
  }

  get counts(): PollCounts {
    return {
      requests: this.#requests,
      answers: this.#answers,
      late: this.#late,
      missing: this.#missing,
      halfRoundTripS: this.#halfTripsS.length === 0 ? null : medianHigh(this.#halfTripsS),
    }
  }

  #stamped({ timeS, text }: StampedLine): StampedLine {
    const withinS = (timeS - this.#sentS) / 2
    return { timeS: this.#sentS + withinS, text, withinS }
  }

  #settle(line: StampedLine): void {
    if (this.#owed > 0) this.#held = line
    else this.#answer(line)
  }

  #answer(line: StampedLine): void {
    this.#halfTripsS[this.#answers % REMEMBERED] = line.withinS ?? 0
    this.#answers += 1
    this.#options.onAnswer(line)
  }

  #refuse(line: StampedLine): void {
    if (this.#owed > 0) {
      this.#missing -= 1
      this.#late += 1
    }
    this.#options.onUnasked(line)
  }
}
