import { sentence } from '../../errors/index.js'
import type { GuidedSession, StepResult } from '../../jobs/index.js'
import { type PlanStep, type Procedure, suggestedTravel, wantedTravel } from '../../planning/index.js'
import type { MachineAxis } from '../../store/index.js'
import { countOf } from '../../text/index.js'
import {
  directionSign,
  feedUnit,
  formatDial,
  formatFeed,
  formatLength,
  formatPercentHalfWidth,
} from '../../units/index.js'
import { whyText } from '../../words/index.js'
import { notesOn } from '../render/run-commands.js'
import { paint, say } from '../terminal/terminal.js'

/**
 * Says what to set and how far to travel.
 *
 * @param timedMm the distance that a stopwatch is to time, mm; left out where a readout follows the table
 */
export function announceStep(
  session: GuidedSession,
  procedure: Procedure,
  step: PlanStep,
  { axis }: MachineAxis,
  timedMm?: number,
): void {
  const { done, total, minutesLeft } = session.outlook(procedure)
  const { advice } = session
  const count =
    advice === null ? `Run ${step.step} of ${session.plan.steps.length}` : `Run ${done + 1} of about ${total}`
  const set = procedure.resetDial
    ? `turn the dial away, then back to ${formatDial(step.dial, axis)}`
    : `dial to ${formatDial(step.dial, axis)}`
  const left = `About ${countOf(minutesLeft, 'minute')} left in all.`
  say('')
  say(
    `${paint('bold', count)}${advice === null ? ` (pass ${step.pass})` : ''}: ${set}, feed in direction ${directionSign(step.direction)}.`,
  )
  if (advice !== null) say(`  ${whyText(advice)}`)
  const feedMmPerMin = session.expectedFeedMmPerMin(step)
  if (timedMm !== undefined) {
    const takes =
      feedMmPerMin === null ? '' : `, which takes about ${Math.round((60 * timedMm) / feedMmPerMin)} s`
    say(
      `  Time it over exactly ${formatLength(timedMm, axis.unit)}, from mark to mark at full feed${takes}. ${left}`,
    )
    return
  }
  if (feedMmPerMin === null) {
    say(
      `  Let it travel for about ${procedure.minimumTravelTimeS} s, and stop it well before the limit stop. ${left}`,
    )
    return
  }
  const travel = suggestedTravel({ ...wantedTravel(procedure, axis), feedMmPerMin })
  say(
    `  Travel about ${formatLength(travel.distanceMm, axis.unit)}, which takes about ${Math.round(travel.timeS)} s. ${left}`,
  )
}

/** Says what was found, in one line. */
export function tellResult({ step, run, problem }: StepResult, { axis }: MachineAxis): void {
  const { unit } = axis
  if (run === null || run.feed === null) {
    say(
      paint(
        'yellow',
        sentence`  ✗ dial ${formatDial(step.dial, axis)} ${directionSign(step.direction)}: ${problem ?? ''} The step comes again.`,
      ),
    )
    return
  }
  const { feedMmPerMin, interval95MmPerMin } = run.feed
  const own = formatPercentHalfWidth(feedMmPerMin, interval95MmPerMin)
  say(
    paint(
      'green',
      `  ✓ dial ${formatDial(step.dial, axis)} ${directionSign(step.direction)}: ${formatFeed(feedMmPerMin, interval95MmPerMin, unit)} ${feedUnit(unit)} (this run ${own}), ${formatLength(run.distanceMm, unit)} in ${run.durationS.toFixed(1)} s`,
    ),
  )
  for (const { message, commands } of notesOn(run.warnings.map((one) => ({ ...one, runIds: [run.id] })))) {
    say(`    ${message}`)
    for (const command of commands) say(`  ${command}`)
  }
}
