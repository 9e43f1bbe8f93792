import type { Said } from '../../errors/index.js'
import type { PlanStep } from '../../planning/index.js'
import { wayOut } from '../../planning/mix-ups/index.js'
import type { Run } from '../../store/index.js'
import { directionSign } from '../../units/index.js'
import type { TakeOutcome } from '../record/takes.js'

/** Why no run of a recording made for a step counts, in a sentence. @param rejected the first in the right direction */
export function stepProblem(step: PlanStep, outcome: TakeOutcome<Run>, rejected: Run | undefined): Said {
  if (outcome.failure !== null) return outcome.failure.inFull
  if (rejected?.rejection) return rejectionText(rejected.rejection)
  if (rejected?.dropReason) return dropReasonText(rejected.dropReason)
  if (outcome.runs.length === 0) return 'The table did not move.'
  return `The table went in the other direction than ${directionSign(step.direction)}.`
}

/** Why a run was refused, and what to do where more than making it again helps. */
export function rejectionText({ code, message }: NonNullable<Run['rejection']>): string {
  return [message, wayOut(code)].filter((sentence) => sentence !== null).join(' ')
}

/** Why a run was left out, as a sentence of its own. */
export function dropReasonText(reason: string): string {
  return `${reason.charAt(0).toUpperCase()}${reason.slice(1)}.`
}
