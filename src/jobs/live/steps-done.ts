import type { PlanStep } from '../../planning/index.js'
import type { Run } from '../../store/index.js'

type Made = Pick<Run, 'step' | 'dial' | 'direction'>

/** Whether a run was made at the setting of a step, in its direction. */
export function isOfSetting({ dial, direction }: PlanStep, run: Made): boolean {
  return run.dial === dial && run.direction === direction
}

/**
 * The steps that these runs settle. A run of a travel through several settings was made for no step in particular: it
 * settles the first one of its setting that no other run does.
 *
 * @param runs that count, in the order they were made
 * @returns numbers of steps, once each
 */
export function doneSteps(steps: readonly PlanStep[], runs: readonly Made[]): number[] {
  const done = new Set(runs.flatMap(({ step }) => step ?? []))
  for (const run of runs) {
    if (run.step !== null) continue
    const open = steps.find((step) => isOfSetting(step, run) && !done.has(step.step))
    if (open !== undefined) done.add(open.step)
  }
  return [...done]
}
