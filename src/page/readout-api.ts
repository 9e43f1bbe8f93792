/** What page and server say to each other of the readouts: their ports, and how one is learned. */

/** The ports, what can be done with each, and what to bear in mind while an axis is moved. */
export interface ReadoutsAnswer {
  readonly ports: readonly {
    readonly path: string
    readonly description: string
    readonly access: string
    /** What to do where it cannot be used; null where it can. */
    readonly advice: string | null
  }[]
  readonly cautions: readonly string[]
}

/** How far the program is with learning a readout. */
export interface LearningState {
  /** `heard`: its lines can be taken apart. `moving`: the axis is moved. `learned`: it can be kept. */
  readonly status: 'closed' | 'listening' | 'heard' | 'moving' | 'learned' | 'failed'
  readonly port: string | null
  /** Each speed and framing that was tried, and what came of it. */
  readonly trials: readonly string[]
  /** What the lines look like and what is in them. */
  readonly heard: readonly string[]
  /** Numbers that may be the axis. */
  readonly columns: readonly { readonly column: number; readonly name: string }[]
  /** The lines carry a unit, so that no known move is needed. */
  readonly unitInLines: boolean
  /** While the axis is moved: each number now, and how far it went, as it stands in the lines. */
  readonly watched: readonly { readonly name: string; readonly now: string; readonly moved: string }[]
  readonly learned: readonly string[]
  readonly suggestedName: string
  readonly trouble: string | null
}
