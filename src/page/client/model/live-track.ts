import { type ReadoutSummary, ReadoutTally } from '../../../jobs/readout/readout-tally.js'
import type { Phases } from '../../../traverse/index.js'
import type { PageEvent, PageRun } from '../../api.js'

/**
 * Samples that are drawn at most. Judgement: as many as the server keeps (`trace.ts`), ten minutes of a usual
 * readout.
 */
const MOST_KEPT = 6000

/** A moment of the track with its word. */
interface TrackMark {
  readonly atS: number
  readonly word: string
}

/** Position over time as it comes in; a chart draws it whenever it likes, without the rest of the page. */
export class LiveTrack {
  timeS: number[] = []
  positionMm: number[] = []
  /** Starts and stops as they were seen. */
  marks: TrackMark[] = []
  /** Phases of the runs that were judged. */
  phases: Phases[] = []
  /** The readout sends no more: what was read last is not what is now. */
  silent = false
  #tally = new ReadoutTally()
  readonly #watchers = new Set<() => void>()

  /** Calls back whenever something came; returns a function that ends it. */
  watch(changed: () => void): () => void {
    this.#watchers.add(changed)
    return () => this.#watchers.delete(changed)
  }

  /** Position, speed and rate just now. */
  get now(): ReadoutSummary {
    return this.#tally.summary
  }

  take(event: PageEvent): void {
    if (event.kind === 'samples') this.#samples(event.timeS, event.positionMm)
    else if (event.kind === 'motion') this.#motion(event.moving, event.atS)
    else if (event.kind === 'take') this.#judged(event.take.runs)
    else if (event.kind === 'live') this.silent = event.state.silent || event.state.status === 'away'
    else return
    for (const changed of this.#watchers) changed()
  }

  clear(): void {
    this.timeS = []
    this.positionMm = []
    this.marks = []
    this.phases = []
    this.#tally = new ReadoutTally()
    for (const changed of this.#watchers) changed()
  }

  #samples(timeS: readonly number[], positionMm: readonly number[]): void {
    for (const [index, at] of timeS.entries()) {
      this.timeS.push(at)
      this.positionMm.push(positionMm[index]!)
      this.#tally.add({ timeS: at, positionMm: positionMm[index]!, deviceTimeS: null, lineBytes: 0 })
    }
    if (this.timeS.length <= MOST_KEPT * 1.2) return
    this.timeS = this.timeS.slice(-MOST_KEPT)
    this.positionMm = this.positionMm.slice(-MOST_KEPT)
  }

  #motion(moving: boolean, atS: number): void {
    this.marks = [...this.marks.slice(-40), { atS, word: moving ? 'moving' : 'at rest' }]
  }

  #judged(runs: readonly PageRun[]): void {
    const phases = runs.flatMap((run) => run.phases ?? [])
    // What was seen live is now known better.
    const [first] = phases
    if (first !== undefined) this.marks = this.marks.filter((mark) => mark.atS < first.startS - 1)
    this.phases = [...this.phases.slice(-20), ...phases]
  }
}
