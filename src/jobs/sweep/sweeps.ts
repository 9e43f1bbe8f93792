import { settingsThatFit } from '../../planning/index.js'
import type { Axis, Store } from '../../store/index.js'
import type { Direction } from '../../traverse/index.js'
import type { SweepPlan } from './sweep-guide.js'

/** Travels to be made one after the other. */
export interface Sweeps {
  /** The travel to make now; null where none is left. */
  next(): SweepPlan | null
}

/** One travel through these settings, either way. */
export function singleSweep(store: Store, axis: Axis, dials: readonly number[]): Sweeps {
  let made = false
  return {
    next() {
      if (made) return null
      made = true
      return {
        dials,
        expectedMmPerMin: dials.map((dial) => expectedMmPerMin(store, axis, dial)),
        direction: null,
      }
    },
  }
}

/** Many travels to and fro until every mark has enough runs each way. */
export class SweepSession implements Sweeps {
  readonly #store: Store
  readonly #axis: Axis
  readonly #marks: readonly number[]
  readonly #directions: readonly Direction[]
  readonly #passes: number
  readonly #sinceIso: string
  #direction: Direction | null = null
  /** Travels in a row that brought nothing, so that a table that cannot go on does not ask for ever. */
  #idle = 0
  #missing = Number.POSITIVE_INFINITY

  /** @param wanted.sinceIso runs made from then on count */
  constructor(
    store: Store,
    axis: Axis,
    wanted: {
      readonly marks: readonly number[]
      readonly directions: readonly Direction[]
      readonly passes: number
      readonly sinceIso: string
    },
  ) {
    this.#store = store
    this.#axis = axis
    this.#marks = [...wanted.marks].sort((a, b) => a - b)
    this.#directions = wanted.directions
    this.#passes = wanted.passes
    this.#sinceIso = wanted.sinceIso
  }

  /** Runs still to make. */
  get missing(): number {
    return this.#directions.reduce((sum, direction) => sum + this.#lacking(direction).total, 0)
  }

  next(): SweepPlan | null {
    const { missing } = this
    this.#idle = missing < this.#missing ? 0 : this.#idle + 1
    this.#missing = missing
    if (missing === 0 || this.#idle >= MOST_IDLE) return null
    const opposite: Direction = this.#direction === 1 ? -1 : 1
    const ways = [opposite, this.#direction ?? (opposite === 1 ? -1 : 1)] as const
    const direction = ways.find((way) => this.#directions.includes(way) && this.#lacking(way).total > 0)
    if (direction === undefined) return null
    this.#direction = direction
    // Up the dial one way and down it the other: the knob is never turned back between two travels.
    const { dials } = this.#lacking(direction)
    const order = direction === 1 ? dials : dials.toReversed()
    const known = order.map((dial) => ({
      dial,
      feedMmPerMin: expectedMmPerMin(this.#store, this.#axis, dial),
    }))
    const fit = settingsThatFit(known, this.#axis.travelMm, this.#axis.leadscrewPitchMm)
    return {
      dials: fit,
      expectedMmPerMin: known.slice(0, fit.length).map(({ feedMmPerMin }) => feedMmPerMin),
      direction,
    }
  }

  /** Marks that lack runs in a direction, those that lack most alone where some lack more than others. */
  #lacking(direction: Direction): { readonly dials: readonly number[]; readonly total: number } {
    const runs = this.#store.runs
      .list(this.#axis.id, { direction, source: 'readout', since: this.#sinceIso })
      .filter((run) => run.accepted && run.droppedAt === null)
    const lack = this.#marks.map((mark) =>
      Math.max(0, this.#passes - runs.filter((run) => run.dial === mark).length),
    )
    const most = Math.max(...lack)
    const dials = most === 0 ? [] : this.#marks.filter((_, i) => lack[i] === most)
    return { dials, total: lack.reduce((sum, one) => sum + one, 0) }
  }
}

/** Travels that bring no run before it is given up. Judgement. */
const MOST_IDLE = 3

/** What a setting feeds by the newest run there, or by the table in force, mm/min; null before there is either. */
function expectedMmPerMin(store: Store, axis: Axis, dial: number): number | null {
  const newest = store.runs
    .list(axis.id, { dial })
    .filter((run) => run.feed !== null && run.droppedAt === null)
    .at(-1)
  if (newest?.feed) return newest.feed.feedMmPerMin
  const marks = ([1, -1] as const).flatMap(
    (direction) => store.tables.inForce(axis.id, direction)?.marks ?? [],
  )
  return marks.find((mark) => mark.dial === dial)?.feedMmPerMin ?? null
}
