/** What a press of the stopwatch meant. */
type PressKind = 'start' | 'mark' | 'stop'

/** One press and when it was made, in s on a monotonic clock. */
export interface Press {
  readonly kind: PressKind
  readonly timeS: number
}

/**
 * A press so soon after the one before is the same press again, of a switch or a thumb that bounces, s. Nobody means two
 * presses within it (from memory: a thumb taps seven times a second at the most), and no traverse is over in it.
 */
const BOUNCE_S = 0.15

/** A finished timing. */
export interface Timing {
  /** From the start press to the stop press, s. */
  readonly durationS: number
  /** The presses along the way, in s after the start. */
  readonly marksS: readonly number[]
}

/**
 * A stopwatch worked by presses: start, marks along the way, stop, and the last press taken back.
 * Knows no clock: every press brings its time.
 *
 * @example
 * const timer = new StopwatchTimer()
 * timer.press(10)      // start
 * timer.mark(24)       // the table passes a mark
 * timer.press(38.4)    // stop
 * timer.timing()       // { durationS: 28.4, marksS: [14] }
 */
export class StopwatchTimer {
  readonly #presses: Press[] = []

  /** `ready` before the start, `running` until the stop, then `stopped`. */
  get state(): 'ready' | 'running' | 'stopped' {
    const last = this.#presses.at(-1)
    if (last === undefined) return 'ready'
    return last.kind === 'stop' ? 'stopped' : 'running'
  }

  /** All presses so far, as they were made. */
  get presses(): readonly Press[] {
    return this.#presses
  }

  /** Starts when ready, stops when running; a press after the stop is ignored. */
  press(timeS: number): void {
    if (this.state === 'stopped') return
    this.#add(this.state === 'ready' ? 'start' : 'stop', timeS)
  }

  /** Notes a mark while running; ignored otherwise. */
  mark(timeS: number): void {
    if (this.state === 'running') this.#add('mark', timeS)
  }

  /** Takes the last press back: after a mistaken stop the watch runs on as if it had not been pressed. */
  undo(): Press | null {
    return this.#presses.pop() ?? null
  }

  /** The timing once stopped, else null. */
  timing(): Timing | null {
    const start = this.#presses[0]
    const stop = this.#presses.at(-1)
    if (start === undefined || stop?.kind !== 'stop') return null
    const marks = this.#presses.filter((press) => press.kind === 'mark')
    return { durationS: stop.timeS - start.timeS, marksS: marks.map((press) => press.timeS - start.timeS) }
  }

  #add(kind: PressKind, timeS: number): void {
    const last = this.#presses.at(-1)
    if (last !== undefined && timeS < last.timeS + BOUNCE_S) return
    this.#presses.push({ kind, timeS })
  }
}
