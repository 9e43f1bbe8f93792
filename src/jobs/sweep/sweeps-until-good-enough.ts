import { type NextTravel, nextTravel, type Setting } from '../../planning/good-enough/index.js'
import { minutesOf, settingsThatFit, sweepTimeS } from '../../planning/index.js'
import { type Axis, isCounting, type Store } from '../../store/index.js'
import type { Direction } from '../../traverse/index.js'
import { writingOf } from '../../units/index.js'
import { type GoodEnough, type TableStanding, tableQuestion } from '../plan/advise-table.js'
import { likelyFeeds } from '../plan/session-pace.js'
import type { SweepPlan } from './sweep-guide.js'
import { MOST_IDLE, type Sweeps } from './sweeps.js'

/** How far a table is that is made by travels, and what they are likely to take. */
type TravelAdvice = NextTravel & TableStanding

/** Travels in a row that began at a setting and brought nothing, after which that setting is left out. Judgement. */
const MOST_IDLE_AT_SETTING = 2

/**
 * Travels to and fro until every place of the table is good enough. Each is planned from all runs that a fit would use, so
 * what was measured before counts, and travels that were broken off carry on by themselves.
 */
export class SweepsUntilGoodEnough implements Sweeps {
  readonly #store: Store
  readonly #axis: Axis
  readonly #goodEnough: GoodEnough
  #before: Direction | null = null
  #first: Setting | null = null
  #without: readonly Setting[] = []
  /** Travels in a row that brought nothing, so that a table that cannot go on does not ask for ever. */
  #idle = 0
  #made: number
  #known: { readonly key: string; readonly advice: TravelAdvice } | null = null

  constructor(store: Store, axis: Axis, goodEnough: GoodEnough) {
    this.#store = store
    this.#axis = axis
    this.#goodEnough = goodEnough
    this.#made = this.#runsMade
  }

  /** How far the table is, and what it is likely to take from here on. */
  get advice(): TravelAdvice {
    // A fit takes a good part of a second, so it is made again only where a run came or went.
    const runs = this.#store.runs.list(this.#axis.id).map((run) => `${run.id}${run.accepted}${run.droppedAt}`)
    const key = JSON.stringify([runs, this.#without, this.#before])
    if (this.#known?.key !== key) this.#known = { key, advice: this.#workedOut() }
    return this.#known.advice
  }

  next(): SweepPlan | null {
    const made = this.#runsMade
    this.#idle = this.#first === null || made > this.#made ? 0 : this.#idle + 1
    this.#made = made
    if (this.#idle >= MOST_IDLE) return null
    if (this.#idle >= MOST_IDLE_AT_SETTING && this.#first !== null)
      this.#without = [...this.#without, this.#first]
    const { next } = this.advice
    if (next === null) return null
    const { direction, dials } = next
    this.#before = direction
    this.#first = { dial: dials[0]!, direction }
    const feedAt = likelyFeeds(this.#store, this.#axis)
    return { dials, direction, expectedMmPerMin: dials.map((dial) => feedAt(dial, direction)) }
  }

  get #runsMade(): number {
    return this.#store.runs.list(this.#axis.id).filter(isCounting).length
  }

  #workedOut(): TravelAdvice {
    const { travelMm, leadscrewPitchMm } = this.#axis
    const feedAt = likelyFeeds(this.#store, this.#axis)
    const known = (dials: readonly number[], direction: Direction) =>
      dials.map((dial) => ({ dial, feedMmPerMin: feedAt(dial, direction) }))
    const answer = nextTravel({
      ...tableQuestion(this.#store, this.#axis, this.#goodEnough, this.#without),
      before: this.#before,
      holds: (dials, direction) =>
        settingsThatFit(known(dials, direction), travelMm, leadscrewPitchMm).length === dials.length,
    })
    const timeS = answer.likely.reduce(
      (sum, { dials, direction }) => sum + sweepTimeS(known(dials, direction), travelMm, leadscrewPitchMm),
      0,
    )
    const runs = answer.likely.reduce((sum, { dials }) => sum + dials.length, 0)
    return {
      ...answer,
      ...writingOf(this.#axis),
      goodEnough: this.#goodEnough,
      runs,
      minutes: minutesOf(timeS),
    }
  }
}
