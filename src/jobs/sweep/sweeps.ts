import {
  type LackingRuns,
  type LikelySetting,
  minutesOf,
  type SweepOrder,
  settingsThatFit,
  sweepTimeS,
} from '../../planning/index.js'
import { type Axis, isCounting, type Store } from '../../store/index.js'
import type { Direction } from '../../traverse/index.js'
import { likelyFeeds } from '../plan/session-pace.js'
import type { SweepPlan } from './sweep-guide.js'

/** Travels that bring no run before it is given up. Judgement. */
export const MOST_IDLE = 3

/** Travels to be made one after the other. */
export interface Sweeps {
  /** The travel to make now; null where none is left. */
  next(): SweepPlan | null
}

/** What travels through many settings are to bring. */
interface WantedSweeps {
  /** How many runs of each setting, in each direction. */
  readonly runs: readonly LackingRuns[]
  readonly directions: readonly Direction[]
  /** In which order the settings are turned through. */
  readonly order: SweepOrder
  /** Runs made from then on count. */
  readonly sinceIso: string
  /** Only runs of this guided session count; left out for runs of any. */
  readonly sessionId?: number
}

/** What is left of travels. */
interface SweepOutlook {
  readonly travelsLeft: number
  readonly minutesLeft: number
}

/** One travel through these settings, either way. */
export function singleSweep(store: Store, axis: Axis, dials: readonly number[]): Sweeps {
  let made = false
  const feedAt = likelyFeeds(store, axis)
  return {
    next() {
      if (made) return null
      made = true
      return {
        dials,
        // Either way will do; a setting that ran the other way only is told by that.
        expectedMmPerMin: dials.map((dial) => feedAt(dial, 1)),
        direction: null,
      }
    },
  }
}

/** Many travels, to and fro where both directions are wanted, until every setting has its runs. */
export class SweepSession implements Sweeps {
  readonly #store: Store
  readonly #axis: Axis
  readonly #wanted: WantedSweeps
  #direction: Direction | null = null
  /** Travels in a row that brought nothing, so that a table that cannot go on does not ask for ever. */
  #idle = 0
  #missing = Number.POSITIVE_INFINITY

  constructor(store: Store, axis: Axis, wanted: WantedSweeps) {
    this.#store = store
    this.#axis = axis
    this.#wanted = wanted
  }

  get directions(): readonly Direction[] {
    return this.#wanted.directions
  }

  /** Runs in all, made and still to make. */
  get total(): number {
    return this.#wanted.directions.length * this.#wanted.runs.reduce((sum, { runs }) => sum + runs, 0)
  }

  /** Runs still to make. */
  get missing(): number {
    const lacking = this.#wanted.directions.flatMap((direction) => this.#lacking(direction))
    return lacking.reduce((sum, { runs }) => sum + runs, 0)
  }

  /** How many travels are still to make, and what they are likely to take, whole minutes. */
  get outlook(): SweepOutlook {
    const { leadscrewPitchMm, travelMm } = this.#axis
    const travels = this.#travelsToMake()
    const timeS = travels.reduce((sum, one) => sum + sweepTimeS(one, travelMm, leadscrewPitchMm), 0)
    return { travelsLeft: travels.length, minutesLeft: minutesOf(timeS) }
  }

  /** The settings of each travel still to make. */
  #travelsToMake(): LikelySetting[][] {
    const feedAt = likelyFeeds(this.#store, this.#axis)
    return this.#wanted.directions.flatMap((direction) => {
      const left = new Map(this.#lacking(direction).map(({ dial, runs }) => [dial, runs]))
      const travels: LikelySetting[][] = []
      while (left.size > 0) {
        const lacking = [...left].map(([dial, runs]) => ({ dial, runs }))
        const travel = this.#travel(lacking, direction, feedAt)
        travels.push(travel)
        for (const { dial } of travel) {
          const rest = left.get(dial)! - 1
          if (rest > 0) left.set(dial, rest)
          else left.delete(dial)
        }
      }
      return travels
    })
  }

  /** The settings of one travel, in order, with the feeds that they are likely to have. */
  #travel(
    lacking: readonly LackingRuns[],
    direction: Direction,
    feedAt: ReturnType<typeof likelyFeeds>,
  ): LikelySetting[] {
    const { leadscrewPitchMm, travelMm } = this.#axis
    const settings = this.#wanted
      .order(lacking, direction)
      .map((dial) => ({ dial, feedMmPerMin: feedAt(dial, direction) }))
    return settingsThatFit(settings, travelMm, leadscrewPitchMm)
  }

  next(): SweepPlan | null {
    const { missing } = this
    this.#idle = missing < this.#missing ? 0 : this.#idle + 1
    this.#missing = missing
    if (missing === 0 || this.#idle >= MOST_IDLE) return null
    const opposite: Direction = this.#direction === 1 ? -1 : 1
    const ways = [opposite, this.#direction ?? (opposite === 1 ? -1 : 1)] as const
    const { directions } = this.#wanted
    const direction = ways.find((way) => directions.includes(way) && this.#lacking(way).length > 0)
    if (direction === undefined) return null
    this.#direction = direction
    const feedAt = likelyFeeds(this.#store, this.#axis)
    const travel = this.#travel(this.#lacking(direction), direction, feedAt)
    return {
      dials: travel.map(({ dial }) => dial),
      expectedMmPerMin: travel.map(({ feedMmPerMin }) => feedMmPerMin),
      direction,
    }
  }

  /** The settings that lack runs in a direction. */
  #lacking(direction: Direction): LackingRuns[] {
    const { sinceIso: since, sessionId } = this.#wanted
    const inSession = sessionId === undefined ? {} : { sessionId }
    const made = this.#store.runs
      .list(this.#axis.id, { direction, source: 'readout', since, ...inSession })
      .filter(isCounting)
    return this.#wanted.runs.flatMap(({ dial, runs }) => {
      const lacking = runs - made.filter((run) => run.dial === dial).length
      return lacking > 0 ? { dial, runs: lacking } : []
    })
  }
}
