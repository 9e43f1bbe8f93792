import type { Setting } from '../../planning/good-enough/index.js'
import type { PlanStep, SessionPlan } from '../../planning/index.js'
import type { Axis, Run, RunSource, Store } from '../../store/index.js'
import { adviseTable, GOOD_ENOUGH, type GoodEnough, type TableAdvice } from '../plan/advise-table.js'

/**
 * The plan of a session that goes on until the table is good enough. It is worked out anew after each run, from all runs
 * of the axis that a fit would use: those made before the session, and those of one that was broken off, count too.
 */
export class GoodEnoughPlan {
  readonly #store: Store
  readonly #axis: Axis
  readonly #source: RunSource
  readonly goodEnough: GoodEnough
  #known: { readonly key: string; readonly advice: TableAdvice } | null = null

  constructor(store: Store, axis: Axis, goodEnough: GoodEnough, source: RunSource) {
    this.#store = store
    this.#axis = axis
    this.goodEnough = goodEnough
    this.#source = source
  }

  /** @param without settings left out for this sitting */
  advice(without: readonly Setting[]): TableAdvice {
    // A fit takes a good part of a second, so it is made again only where a run came or went.
    const runs = this.#store.runs.list(this.#axis.id).map((run) => `${run.id}${run.accepted}${run.droppedAt}`)
    const key = JSON.stringify([runs, without])
    if (this.#known?.key !== key) {
      const advice = adviseTable(this.#store, this.#axis, this.goodEnough, this.#source, without)
      this.#known = { key, advice }
    }
    return this.#known.advice
  }

  /** The runs that were made, as steps, and those that are likely to come. */
  plan(made: readonly Run[], without: readonly Setting[]): SessionPlan {
    const done = made.flatMap(({ step, dial, direction }) =>
      step === null || dial === 'rapid' ? [] : [{ step, dial, direction }],
    )
    const last = Math.max(0, ...done.map(({ step }) => step))
    const likely = this.advice(without).likely.map((setting, k) => ({ step: last + 1 + k, ...setting }))
    return { procedure: GOOD_ENOUGH, steps: [...done, ...likely].map(withPass) }
  }
}

/** A setting's first run belongs to the first pass, its second one to the second, and so on. */
function withPass(step: Omit<PlanStep, 'pass'>, k: number, all: readonly Omit<PlanStep, 'pass'>[]): PlanStep {
  const before = all.slice(0, k).filter((one) => one.dial === step.dial && one.direction === step.direction)
  return { ...step, pass: before.length + 1 }
}
