import { UsageError } from '../../errors/index.js'
import { type GuidedSession, recordStopwatchTakes } from '../../jobs/index.js'
import { type PlanStep, type Procedure, timedDistanceMm, wantedTravel } from '../../planning/index.js'
import { parseLengthMm } from '../../units/index.js'
import { nowIso } from '../context.js'
import { openKeys } from '../terminal/keys.js'
import { timeOnKeyboard } from '../terminal/stopwatch-screen.js'
import { canAsk, say } from '../terminal/terminal.js'
import { betweenMarks, entryOfPresses, refuseBeyondTravel } from '../traverse/from-stopwatch.js'
import { stopwatchConditions } from '../traverse/stopwatch-conditions.js'
import type { SessionContext } from './readout-session.js'
import { applyKey } from './session-keys.js'
import { announceStep, tellResult } from './step-text.js'

/**
 * Walks through all steps with a stopwatch on the keyboard.
 *
 * @returns whether all steps are done
 * @throws UsageError `needs-terminal`
 */
export async function runStopwatchSession(
  session: GuidedSession,
  procedure: Procedure,
  { store, target, options }: SessionContext,
): Promise<boolean> {
  if (!canAsk()) {
    throw new UsageError(
      'needs-terminal',
      'Timing on the keyboard needs a terminal.',
      'Fill in a sheet (dial,direction,distance,time) and read it with `tablepace traverse --from sheet.csv`.',
    )
  }
  const { axis } = target
  const fixedMm =
    options.distance === undefined ? null : parseLengthMm(options.distance, axis.unit, '--distance')
  if (fixedMm !== null) refuseBeyondTravel(fixedMm, axis)
  const everyMm = betweenMarks(options, axis)
  say(
    'SPACE starts and stops · M notes a mark · U undoes a press · ENTER keeps · R repeats the last run · D leaves it out · S skips · Q stops',
  )
  const timed = stopwatchConditions(store, options)
  const keys = openKeys()
  try {
    for (let step = session.next(); step !== null; step = session.next()) {
      const distanceMm = fixedMm ?? distanceOfStep(session, procedure, step, target)
      announceStep(session, procedure, step, target, distanceMm)
      const outcome = await timeOnKeyboard(keys, ['r', 'd', 's', 'q'])
      if (outcome.kind === 'key') {
        if (!applyKey(session, step, outcome.key, target.axis)) return false
        continue
      }
      const { dial, direction } = step
      const entry = entryOfPresses({ dial, direction, distanceMm, everyMm, ...outcome.timing }, axis)
      const take = { dial: step.dial, origin: 'keyboard', entry, note: null }
      const conditions = session.conditions(step, { ...timed, startedAt: nowIso() })
      const [recorded] = recordStopwatchTakes(store, axis, [take], conditions)
      tellResult(session.settle(step, recorded!, nowIso()), target)
    }
    return session.isComplete
  } finally {
    keys.close()
  }
}

/** How far to time this step. */
function distanceOfStep(
  session: GuidedSession,
  procedure: Procedure,
  step: PlanStep,
  { axis }: SessionContext['target'],
): number {
  return timedDistanceMm({
    ...wantedTravel(procedure, axis),
    feedMmPerMin: session.expectedFeedMmPerMin(step),
    unit: axis.unit,
  })
}
