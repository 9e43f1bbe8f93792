import type { GuidedSession } from '../../jobs/index.js'
import type { PlanStep } from '../../planning/index.js'
import { nowIso } from '../context.js'
import { say } from '../terminal.js'

/**
 * Does what a key asks for between two runs: R repeats the last run, D drops it and goes on, S skips the step.
 *
 * @returns false when the session is to stop
 */
export function applyKey(session: GuidedSession, step: PlanStep, key: string): boolean {
  if (key === 'r' || key === 'd') {
    const dropped = session.dropLast(nowIso())
    if (dropped === null) say('  There is no run yet.')
    else if (key === 'r') say('  The last run is left out; its step comes again.')
    else {
      // Where the plan is worked out anew after each run, it tells itself whether that setting is wanted again.
      const own =
        session.advice === null ? session.plan.steps.find((one) => one.step === dropped.step) : undefined
      if (own !== undefined) session.skip(own)
      say('  The last run is left out.')
    }
    return true
  }
  if (key === 's') {
    session.skip(step)
    return true
  }
  return false
}
